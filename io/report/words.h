/** @file  Plain words for what the numbers say. English, our own; never a word of cause.
 *  Layer: io. */
#ifndef SWT_IO_REPORT_WORDS_H
#define SWT_IO_REPORT_WORDS_H

#include "kinematics/swing.h"

#include <stdbool.h>
#include <stddef.h>

/** "the hands are", "deeper", "less deep": a whole clause for a series above or below its band. */
typedef struct swt_series_words {
    const char *subject, *more, *less;
} swt_series_words;

const swt_series_words *swt_series_describe_in_words(swt_series series);

/** The event inside a sentence: "shaft level in the backswing". */
const char *swt_event_phrase(swt_event event);

/** A value in the unit people are shown, with the unit: "-12 mm", "0.72 s", "41.5 deg"; "-" for
 *  NaN. Returns `out`. */
char *swt_words_value(char *out, size_t size, swt_quantity quantity, double si);

/** The same without the unit, for a table whose column names it. */
char *swt_words_number(char *out, size_t size, swt_quantity quantity, double si);

/** A standard uncertainty without its unit: one digit finer than the value, two for a fraction. */
char *swt_words_uncertainty(char *out, size_t size, swt_quantity quantity, double si);

/** How much: no sign, and no digit finer than the table's. */
char *swt_words_amount(char *out, size_t size, swt_quantity quantity, double si);

/** "in its only swing", "in both swings", "in all 3 swings", "in 2 of 3 swings". */
char *swt_words_swings(char *out, size_t size, size_t k, size_t n);

/** "57 of 60 (95 %)"; the percentage only where 20 or more carry it. */
char *swt_words_share(char *out, size_t size, size_t k, size_t n);

/** A count with its noun: "1 player", "3 players". */
char *swt_words_count(char *out, size_t size, size_t n, const char *one, const char *many);

/**
 * When, in terms of the swing's events: "at club top", "between takeaway and shaft level in the
 * backswing".
 * @param event_s  times of the events after takeaway, NaN = absent
 */
char *swt_words_moment(char *out, size_t size, const double event_s[SWT_EVENT_COUNT],
                       double time_s);

/** The phases marked, neighbours joined: "between takeaway and club top"; "" for none. */
char *swt_words_stretch(char *out, size_t size, const bool phase[SWT_PHASES]);

/** When, from a place in registered samples alone: "between club top and impact". */
char *swt_words_phase(char *out, size_t size, double position);

#endif
