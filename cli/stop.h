/** @file  Being asked to stop: SIGTERM and SIGINT end long work after the captures in hand.
 *  Layer: cli. */
#ifndef SWT_CLI_STOP_H
#define SWT_CLI_STOP_H

#include <stdbool.h>

/** From now on the first SIGTERM or SIGINT is only noted; a second one ends the program at once. */
void swt_stop_on_signals(void);

/** Was one noted? */
bool swt_stop_requested(void);

#endif
