/** @file  JSON values (RFC 8259), written to a stream.
 *  Layer: io. The caller writes braces and commas; only what needs care is here. */
#ifndef SWT_IO_JSON_H
#define SWT_IO_JSON_H

#include <stdio.h>

/** A quoted string; bytes that are no UTF-8 become U+FFFD. */
void swt_json_string(FILE *stream, const char *text);

/** The shortest number that reads back exactly; null when it is not finite. */
void swt_json_number(FILE *stream, double value);

/** `"key": ` with the key quoted, a comma before it unless it is the first. */
void swt_json_key(FILE *stream, const char *key, int is_first);

#endif
