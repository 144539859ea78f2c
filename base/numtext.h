/** @file  Numbers in text, the same in every locale.
 *  Layer: base. The only place where text becomes a number. */
#ifndef SWT_BASE_NUMTEXT_H
#define SWT_BASE_NUMTEXT_H

#include <stdbool.h>
#include <stddef.h>

/**
 * Reads all of `text[0..length)` as a decimal number; blanks around it are allowed.
 * `decimal_mark` is '.' or ','. "nan" and "inf" are refused: a caller who takes
 * missing values asks swt_text_is_missing first.
 * @retval true   *out is set;  false  not a number, out untouched
 */
bool swt_parse_double(double *out, const char *text, size_t length, char decimal_mark);

/** Reads all of `text` (NUL-terminated) as a base-10 integer within [low, high]. */
bool swt_parse_long(long *out, const char *text, long low, long high);

#define SWT_NUMBER_TEXT 32 /**< room for any number that swt_format_double makes */

/** The shortest decimal text that reads back as exactly `value`; "nan" when it is not finite. */
void swt_format_double(char out[SWT_NUMBER_TEXT], double value, char decimal_mark);

/** True for an empty or blank cell and the usual spellings: NA, N/A, NaN, null, -, ., --. */
bool swt_text_is_missing(const char *text, size_t length);

#endif
