/** @file  The roster of the demo study: invented players, only parameters.
 *  Layer: generator. Needs: base. Writes no files: the command line does. */
#ifndef SWT_GENERATOR_DEMO_H
#define SWT_GENERATOR_DEMO_H

#include "datasets/generator/model.h"

/**
 * One capture of the demo study, ready for swt_model_capture.
 *
 * The columns of the trial sheet are file, player, session, group, side, club, shot; `note` says
 * in a few words what the model was told, and belongs into a column of its own or nowhere. Handicap
 * and the shot's results are invented too, by rules of our own: carry goes with the time of
 * release, curve with how far the lead arm is across the chest at lead arm level, both with chance
 * on top.
 */
typedef struct swt_demo_row {
    char file[24]; /**< without folder or extension: "A1_s1_full_3" */
    char player[8];
    char session[4];
    char group[12]; /**< "reference" or "assessed" */
    char side[8];   /**< "right" or "left"         */
    char club[16];
    char shot[16];                     /**< "full", "three-quarter", "half" */
    double handicap, carry_m, curve_m; /**< curve: positive away from the player's lead side */
    const char *note;
    swt_model_player build;
    swt_model_swing swing;
    swt_model_recording recording;
} swt_demo_row;

/** How many captures the demo study has. */
size_t swt_demo_count(void);

/** The row at an index below swt_demo_count(); the same on every call. */
void swt_demo_row_at(swt_demo_row *row, size_t index);

#endif
