/** @file  The study: columns over captures and swings in one HDF5 file.
 *  Layer: io. The only code that knows the file's layout; docs/study-file.md describes it.
 *
 *  Along with a large study checkpoints are written: files of some captures each with the same
 *  columns, from which a run that was stopped goes on. */
#ifndef SWT_IO_STUDY_STUDY_H
#define SWT_IO_STUDY_STUDY_H

#include "io/file_stamp.h"
#include "io/names.h"
#include "io/sheet/sheet.h"
#include "io/study/packed.h"
#include "kinematics/measure.h"
#include "kinematics/swing.h"

#define SWT_STUDY_SCHEMA 2 /**< raised when a reader of the old schema would go wrong */

/** What is stored of a capture, whether or not it gave a swing. */
typedef struct swt_capture_facts {
    char sha256[SWT_SHA256_TEXT];
    /* with the file's own hash, what decides whether the capture must be processed again */
    char static_sha256[SWT_SHA256_TEXT];                           /**< "" without one      */
    char map_sha256[SWT_SHA256_TEXT], row_sha256[SWT_SHA256_TEXT]; /**< of the sheet's row  */
    char file_stamp[SWT_FILE_STAMP], static_stamp[SWT_FILE_STAMP]; /**< spare hashing a file */
    bool measured;   /**< swings were looked for; else it was imported only */
    char format[96]; /**< "C3D, DEC VAX floats, integer points" */
    char unit[16];   /**< as the file states it                 */
    double rate_hz;
    size_t n_frames, n_points;
    swt_status status; /**< SWT_OK, or why there is no swing       */
    char message[512]; /**< "" or the error in words               */
    swt_findings findings;
} swt_capture_facts;

/** One capture with its swings, as the pipeline hands it to the store. Nothing is kept. */
typedef struct swt_study_entry {
    const swt_trial *trial;
    const swt_capture_facts *facts;
    size_t n_swings;
    swt_swing *const *swing;
    swt_packed *const *packed; /**< samples of each swing; NULL: the swings have them themselves */
} swt_study_entry;

/** Text facts of a run: where the numbers come from. */
typedef struct swt_provenance {
    const char *version; /**< of swathe                                     */
    const char *command; /**< the command line, quoted so that it can be run */
    const char *options; /**< every option that changes a number, "key = value" lines */
    const char *sheet, *sheet_sha256, *map, *map_sha256;
    const char *covariates; /**< covariate column names, one a line            */
    const char *numerics;   /**< of the code that makes the numbers             */
    const char *part;       /**< "3/10": rows of the sheet's third tenth only; "" for all */
} swt_provenance;

/**
 * May a study be written at `path`? Yes where nothing is, an empty file, or a study, be it damaged;
 * a sheet, a capture or another program's file is not replaced.
 * @retval SWT_EIO  it may not
 */
SWT_MUST_USE swt_status swt_study_check_output(const char *path, swt_error *err);

/** Writes a study: temporary name, close, fsync, rename. */
SWT_MUST_USE swt_status swt_study_write(const char *path, const swt_study_entry *entry,
                                        size_t n_entries, const swt_provenance *provenance,
                                        swt_error *err);

/** A study that is written while its captures are being measured, under its temporary name. It gets
 *  its numbers with each checkpoint, its texts, whose lengths are known only then, from the
 *  checkpoints at the end. */
typedef struct swt_study_growth swt_study_growth;

/** Begins one of about `n_expected` swings, all the provenance's. */
SWT_MUST_USE swt_status swt_study_growth_new(swt_study_growth **out, const char *path,
                                             size_t n_expected, const swt_provenance *provenance,
                                             swt_error *err);

/** Captures that it holds; 0 for NULL. */
size_t swt_study_growth_captures(const swt_study_growth *growth);

/** Adds the texts, closes, publishes. The checkpoints must still be where they were written. */
SWT_MUST_USE swt_status swt_study_growth_finish(swt_study_growth *growth, swt_error *err);

/** Removes what was not finished; NULL is allowed. */
void swt_study_growth_free(swt_study_growth *growth);

/** Writes a checkpoint: a study that a run of the same command alone reads back: every number, in
 * one piece a column and without words, dimension scales and checksums, which take longer to write
 * than the numbers of a few captures. The growing study, unless it is NULL, gets the same rows. */
SWT_MUST_USE swt_status swt_study_write_checkpoint(const char *path, const swt_study_entry *entry,
                                                   size_t n_entries,
                                                   const swt_provenance *provenance,
                                                   swt_study_growth *growth, swt_error *err);

/**
 * Joins studies, in the order given, into one; written as above. Their root's texts that may differ
 * are listed, a line each, the command lines with `command` (that of the merge; may be NULL) last;
 * comparisons are left behind.
 * @retval SWT_EDATA    made by other numerics, options or covariates, or of an earlier schema
 * @retval SWT_EFORMAT  one is damaged
 */
SWT_MUST_USE swt_status swt_study_merge(const char *path, const char *const *part, size_t n_parts,
                                        const char *command, swt_error *err);

/** A capture of one of several studies. */
typedef struct swt_study_pick {
    size_t source, capture;
} swt_study_pick;

/**
 * Makes a study of captures picked from others, with their swings and findings, in the order of the
 * picks; as swt_study_merge, but with a root of its own.
 */
SWT_MUST_USE swt_status swt_study_gather(const char *path, const char *const *source,
                                         size_t n_sources, const swt_study_pick *pick,
                                         size_t n_picks, const swt_provenance *provenance,
                                         swt_error *err);

/** One row over captures. */
typedef struct swt_study_capture {
    char *file, *sha256, *format, *unit, *message; /**< owned by the study */
    char *static_sha256, *map_sha256, *row_sha256; /**< as in swt_capture_facts; owned */
    char *file_stamp, *static_stamp;               /**< owned */
    bool measured;
    swt_status status;
    double rate_hz;
    size_t n_frames, n_points;
} swt_study_capture;

/** One row over swings. */
typedef struct swt_study_swing {
    size_t capture;                 /**< index of the capture                            */
    size_t number;                  /**< among the swings of the capture, from 1         */
    swt_strike strike;              /**< of several swings: struck, practice or unknown  */
    size_t capture_frame, n_frames; /**< where in the capture, and how long              */
    size_t first_sample;            /**< of this swing in the packed series and body     */
    double rate_hz;
    char *player, *session, *group, *club, *shot; /**< owned by the study */
    swt_handedness side;
    char **covariate; /**< study->n_covariates texts                */
    double heel_depth_m;
    bool target_from_stance;
} swt_study_swing;

typedef struct swt_study_finding {
    size_t capture;
    long swing; /**< -1: of the capture as a whole            */
    swt_severity severity;
    char *code, *text; /**< owned by the study                       */
} swt_study_finding;

typedef struct swt_study_file swt_study_file; /**< the open HDF5 file; private */

/** A study open for reading: rows and scalar columns in memory, curves and series on demand. */
typedef struct swt_study {
    char *path, *version, *command, *options, *created; /**< provenance; owned */
    char *sheet, *sheet_sha256, *map, *map_sha256;
    char *numerics, *part; /**< "" where the file is older than they are */
    long schema;
    size_t n_captures;
    swt_study_capture *capture;
    size_t n_swings;
    swt_study_swing *swing;
    size_t n_covariates;
    char **covariate_name;
    size_t n_findings;
    swt_study_finding *finding;
    swt_event_time *event[SWT_EVENT_COUNT];        /**< n_swings each                          */
    swt_measurement **measure;                     /**< [swt_measure_count()][n_swings]; the rows
                                                        of swt_measure_row, absent where the file
                                                        does not have a measure                 */
    swt_verdict *series_verdict[SWT_SERIES_COUNT]; /**< n_swings each                     */
    swt_study_file *file;
} swt_study;

/**
 * Opens a study for reading. One of an earlier schema is read as well; what it lacks is empty.
 * @retval SWT_EFORMAT  not a study, damaged, or of a later schema: the message says which
 */
SWT_MUST_USE swt_status swt_study_open(swt_study **out, const char *path, swt_error *err);

/** The same for its root and the rows over captures alone: it seems to hold no swing. Takes little
 *  memory and time however large the study is. */
SWT_MUST_USE swt_status swt_study_open_captures(swt_study **out, const char *path, swt_error *err);

/** Closes and frees; NULL is allowed. */
void swt_study_close(swt_study *study);

/** "long.c3d", or "long.c3d, swing 2" where the capture has several. Returns `buffer`. */
const char *swt_study_swing_name(char *buffer, size_t size, const swt_study *study, size_t swing);

/** An event's place in the swing's own series, in frames; NaN when absent. */
double swt_study_event_frame(const swt_study *study, swt_event event, size_t swing);

/** Registered curves of the swings listed: n * SWT_CURVE_SAMPLES values, NaN where absent. */
SWT_MUST_USE swt_status swt_study_read_curves(const swt_study *study, swt_series series,
                                              const size_t *swing, size_t n, double *out,
                                              swt_error *err);

/** Times of the registered samples (s after takeaway) of the swings listed. */
SWT_MUST_USE swt_status swt_study_read_curve_times(const swt_study *study, const size_t *swing,
                                                   size_t n, double *out, swt_error *err);

/** Standard uncertainty of those curves from marker noise: n * SWT_CURVE_SAMPLES values, NaN where
 *  it was not estimated, or the study is older than it. */
SWT_MUST_USE swt_status swt_study_read_curve_sds(const swt_study *study, swt_series series,
                                                 const size_t *swing, size_t n, double *out,
                                                 swt_error *err);

/** Series over club-head path length (swt_register_travel): n * SWT_TRAVEL_SAMPLES values. */
SWT_MUST_USE swt_status swt_study_read_travel_curves(const swt_study *study, swt_series series,
                                                     const size_t *swing, size_t n, double *out,
                                                     swt_error *err);

/** Times of those samples (s after takeaway): what the registration took out. */
SWT_MUST_USE swt_status swt_study_read_travel_times(const swt_study *study, const size_t *swing,
                                                    size_t n, double *out, swt_error *err);

/** Transition shift over hand height (swt_register_shift): n * SWT_SHIFT_SAMPLES values each. */
SWT_MUST_USE swt_status swt_study_read_shift(const swt_study *study, const size_t *swing, size_t n,
                                             double *shift, double *height, swt_error *err);

/** Native-rate series of one swing: n_frames values, NaN throughout when it has none. */
SWT_MUST_USE swt_status swt_study_read_series(const swt_study *study, swt_series series,
                                              size_t swing, double *out, swt_error *err);

/** The smoothed landmarks of one swing in the swing frame. Caller frees. */
SWT_MUST_USE swt_status swt_study_read_body(swt_landmark_set **out, const swt_study *study,
                                            size_t swing, swt_error *err);

/** What the capture's quality was for one swing. */
SWT_MUST_USE swt_status swt_study_read_quality(swt_quality *out, const swt_study *study,
                                               size_t swing, swt_error *err);

/**
 * Writes a copy of a study without what tells whose swings they are, for sharing: players become
 * P1, P2, ..., sessions 1, 2, ... of each player, files capture-1, ...; sheet, map, command line,
 * date, messages, words of findings, covariates that are no numbers or are dates, and stored
 * comparisons and the captures' hashes are left out. All numbers and states stay.
 * @param[out] removed  gets a line for each kind of thing that was taken out or renamed
 * @retval SWT_EIO, SWT_EFORMAT, SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_study_deidentify(const char *path, swt_names *removed,
                                             const char *source, swt_error *err);

/** Checks every dataset's shape, checksums and cross references. Message: the first fault. */
SWT_MUST_USE swt_status swt_study_verify(const char *path, swt_error *err);

#endif
