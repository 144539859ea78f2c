/** @file  Building blocks of a self-contained page. User text goes through swt_html_text alone.
 *  Layer: io. */
#ifndef SWT_IO_REPORT_HTML_H
#define SWT_IO_REPORT_HTML_H

#include "io/report/text.h"

/** Appends text so that it shows as it is, in an element or in a quoted attribute. */
void swt_html_text(swt_text *page, const char *text);

/** The scripts of io/report/web. */
typedef enum swt_html_script_name {
    SWT_HTML_TABLE, /**< sorting                        */
    SWT_HTML_SPACE, /**< what the replay reckons with   */
    SWT_HTML_REPLAY
} swt_html_script_name;

/** Head and style; the page's visible title is its first heading. Only the scripts above may run,
 *  by their hashes. */
void swt_html_begin(swt_text *page, const char *title);

/** Adds a script, to run when the page was read up to here. */
void swt_html_script(swt_text *page, swt_html_script_name name);

/** Ends the page, with the script that makes its tables sortable. */
void swt_html_end(swt_text *page);

/** A heading, level 1 to 3, with an id of ours (may be NULL) to link to. */
void swt_html_heading(swt_text *page, int level, const char *id, const char *text);

/** A paragraph of plain text. @param class_name  of ours, may be NULL */
void swt_html_paragraph(swt_text *page, const char *class_name, const char *text);

/** A link of ours with the user's text. */
void swt_html_link(swt_text *page, const char *href, const char *text);

/**
 * A figure: the SVG or PNG file becomes part of the page as a data URI, so that its ids cannot meet
 * those of another and nothing in it runs.
 * @param alt      says the finding, for those who do not see the picture
 * @param caption  below the picture; may be NULL
 * @retval SWT_EIO  the file could not be read; nothing is added
 */
SWT_MUST_USE swt_status swt_html_figure(swt_text *page, const char *path, const char *alt,
                                        const char *caption, swt_error *err);

/** Starts a table that scrolls by itself where it is too wide, with a head of n columns; a name
 *  that begins with "#" is a column of numbers. On a narrow screen the class "stack" sets the cells
 * of a row below each other, so they must speak for themselves; "wide" leaves them side by side.
 *  Readers may sort by a column: a cell whose text is no good for that says its value as data-v. */
void swt_html_table_begin(swt_text *page, const char *caption, const char *class_name,
                          const char *const *column, size_t n);
void swt_html_table_end(swt_text *page);

/** A cell of a column of numbers. */
void swt_html_number_cell(swt_text *page, const char *text);

/** Writes the page to a file, whole or not at all. */
SWT_MUST_USE swt_status swt_html_write(const swt_text *page, const char *path, swt_error *err);

/** Turns a text into part of a file name: letters, digits, '-'; never empty. */
char *swt_html_slug(char *out, size_t size, const char *text);

#endif
