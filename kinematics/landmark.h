/** @file  Anatomical landmarks and their trajectories in metres.
 *  Layer: kinematics. Needs: base.
 *
 *  Landmarks carry the abbreviations of the ISB recommendations (Wu et al. 2002, J Biomech
 *  35:543; 2005, J Biomech 38:981). From here on there is no left and right, only lead and
 *  trail: lead is the side nearer the target (left for a right-handed player). */
#ifndef SWT_KINEMATICS_LANDMARK_H
#define SWT_KINEMATICS_LANDMARK_H

#include "base/status.h"
#include "base/vector.h"
#include "kinematics/gaps.h"

#include <stdbool.h>
#include <stddef.h>

/** Sided landmarks: X(ID, "map key", "what it is"). */
#define SWT_SIDED_LANDMARKS(X)                                                                     \
    X(ASIS, "ASIS", "anterior superior iliac spine (hip bone, in front)")                          \
    X(PSIS, "PSIS", "posterior superior iliac spine (hip bone, at the back)")                      \
    X(HIP, "HIP", "hip joint centre, or one marker at the hip")                                    \
    X(AC, "AC", "acromioclavicular joint (shoulder), or one marker there")                         \
    X(EL, "EL", "lateral epicondyle of the humerus (elbow, outer side)")                           \
    X(EM, "EM", "medial epicondyle of the humerus (elbow, inner side)")                            \
    X(ELBOW, "ELBOW", "one marker at the elbow")                                                   \
    X(RS, "RS", "radial styloid (wrist, thumb side)")                                              \
    X(US, "US", "ulnar styloid (wrist, little finger side)")                                       \
    X(WRIST, "WRIST", "one marker at the wrist")                                                   \
    X(MC2, "MC2", "head of the second metacarpal (knuckle of the index finger)")                   \
    X(MC5, "MC5", "head of the fifth metacarpal (knuckle of the little finger)")                   \
    X(HAND, "HAND", "one marker at the hand")                                                      \
    X(LE, "LE", "lateral epicondyle of the femur (knee, outer side)")                              \
    X(ME, "ME", "medial epicondyle of the femur (knee, inner side)")                               \
    X(KNEE, "KNEE", "one marker at the knee")                                                      \
    X(LM, "LM", "lateral malleolus (ankle, outer side)")                                           \
    X(MM, "MM", "medial malleolus (ankle, inner side)")                                            \
    X(ANKLE, "ANKLE", "one marker at the ankle")                                                   \
    X(CAL, "CAL", "calcaneus (heel)")                                                              \
    X(MT2, "MT2", "head of the second metatarsal (forefoot, second toe)")                          \
    X(MT5, "MT5", "head of the fifth metatarsal (forefoot, little toe)")                           \
    X(TOE, "TOE", "tip of the foot")

/** Landmarks in the middle, on the club, and beside the player. */
#define SWT_SINGLE_LANDMARKS(X)                                                                    \
    X(SACRUM, "SACRUM", "middle of the posterior superior iliac spines")                           \
    X(IJ, "IJ", "incisura jugularis (notch of the sternum)")                                       \
    X(PX, "PX", "xiphoid process (lower end of the sternum)")                                      \
    X(C7, "C7", "seventh cervical vertebra (base of the neck)")                                    \
    X(T8, "T8", "eighth thoracic vertebra (middle of the back)")                                   \
    X(HEAD, "HEAD", "head")                                                                        \
    X(CLUB_GRIP, "club.grip", "club at the grip, on the shaft's axis")                             \
    X(CLUB_SHAFT, "club.shaft", "club, a further point on the shaft")                              \
    X(CLUB_HEAD, "club.head", "club head: the hosel, or the head's middle")                        \
    X(CLUB_TOE, "club.toe", "club face at the toe")                                                \
    X(CLUB_HEEL, "club.heel", "club face at the heel")                                             \
    X(BALL, "ball", "ball")                                                                        \
    X(TARGET, "target", "point on the target line beyond the ball")                                \
    X(PELVIS_1, "pelvis.1", "further marker fixed to the pelvis")                                  \
    X(PELVIS_2, "pelvis.2", "further marker fixed to the pelvis")                                  \
    X(PELVIS_3, "pelvis.3", "further marker fixed to the pelvis")                                  \
    X(PELVIS_4, "pelvis.4", "further marker fixed to the pelvis")                                  \
    X(THORAX_1, "thorax.1", "further marker fixed to the thorax")                                  \
    X(THORAX_2, "thorax.2", "further marker fixed to the thorax")                                  \
    X(THORAX_3, "thorax.3", "further marker fixed to the thorax")                                  \
    X(THORAX_4, "thorax.4", "further marker fixed to the thorax")

typedef enum swt_landmark {
#define X(id, key, what) SWT_LEAD_##id, SWT_TRAIL_##id,
    SWT_SIDED_LANDMARKS(X)
#undef X
#define X(id, key, what) SWT_##id,
        SWT_SINGLE_LANDMARKS(X)
#undef X
            SWT_LANDMARK_COUNT
} swt_landmark;

#define SWT_FIRST_SINGLE SWT_SACRUM /**< below it, lead is even and trail is odd */

typedef enum swt_handedness { SWT_RIGHT_HANDED, SWT_LEFT_HANDED } swt_handedness;

/** "lead.ASIS", "IJ", "club.head": the name in tables and messages. */
const char *swt_landmark_name(swt_landmark landmark);

/** "radial styloid (wrist, thumb side)": what it is, and where it has another name, in plain words.
 */
const char *swt_landmark_description(swt_landmark landmark);

/** "lead.RS (wrist, thumb side)", "club.head": the name, with plain words where it needs some. */
char *swt_landmark_words(char *out, size_t size, swt_landmark landmark);

/**
 * The landmark that a map key means for a player: "left.ASIS" is lead.ASIS for a
 * right-handed player. Keys of single landmarks ignore handedness.
 * @return SWT_LANDMARK_COUNT when the key is not a landmark's
 */
swt_landmark swt_landmark_from_key(const char *key, swt_handedness side);

enum { SWT_ONSETS_MAX = 32 };

/** Instants at which an analog channel leaves its rest: a sound, a force, a trigger. */
typedef struct swt_onsets {
    char channel[64]; /**< its label; "" = there is none                    */
    size_t n;
    double time_s[SWT_ONSETS_MAX]; /**< rising, after the first frame of the capture     */
    double sd_s;                   /**< standard uncertainty: uniform within a sample    */
} swt_onsets;

/**
 * Trajectories of the landmarks that a capture has: metres, right-handed axes, z up.
 * One block of memory; each coordinate is a contiguous series over frames.
 */
typedef struct swt_landmark_set {
    size_t n_frames;
    double rate_hz;
    size_t first_frame; /**< number of its first frame in the capture, from 0             */
    bool present[SWT_LANDMARK_COUNT];
    double *axis[SWT_LANDMARK_COUNT][3];       /**< NULL when not present                   */
    unsigned char *origin[SWT_LANDMARK_COUNT]; /**< swt_origin per frame; NULL when absent  */
    swt_onsets onsets; /**< of the channel that the marker map names for contact            */
} swt_landmark_set;

/** A set with room for every landmark whose `present` flag is set in `present`, all missing. */
SWT_MUST_USE swt_status swt_landmark_set_new(swt_landmark_set **out, size_t n_frames,
                                             double rate_hz, const bool present[SWT_LANDMARK_COUNT],
                                             swt_error *err);

/** The same with samples and origins not set: for one who writes every one of them. */
SWT_MUST_USE swt_status swt_landmark_set_new_unset(swt_landmark_set **out, size_t n_frames,
                                                   double rate_hz,
                                                   const bool present[SWT_LANDMARK_COUNT],
                                                   swt_error *err);

/** A set of the same landmarks in the same frames; their origins are copied, samples not set. */
SWT_MUST_USE swt_status swt_landmark_set_new_like(swt_landmark_set **out,
                                                  const swt_landmark_set *set, swt_error *err);

/** A copy of frames [first, first + n) as a set of its own. */
SWT_MUST_USE swt_status swt_landmark_set_copy(swt_landmark_set **out, const swt_landmark_set *set,
                                              size_t first, size_t n, swt_error *err);

/** Frees a set; NULL is allowed. */
void swt_landmark_set_free(swt_landmark_set *set);

/** Position at a frame; NaN when the landmark is absent or missing there. */
static inline swt_vec3 swt_landmark_at(const swt_landmark_set *set, swt_landmark landmark,
                                       size_t frame)
{
    if (!set->present[landmark])
        return swt_vec3_nan();
    return swt_vec3_make(set->axis[landmark][0][frame], set->axis[landmark][1][frame],
                         set->axis[landmark][2][frame]);
}

/** Mean position of a landmark over frames [first, last]; NaN when it has no sample there. */
swt_vec3 swt_landmark_mean(const swt_landmark_set *set, swt_landmark landmark, size_t first,
                           size_t last);

#endif
