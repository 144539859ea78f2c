/** @file  The report: a page for each assessed player, one on the study's quality, an index.
 *  Layer: io. Every page is one file that needs no other and no network. */
#ifndef SWT_IO_REPORT_REPORT_H
#define SWT_IO_REPORT_REPORT_H

#include "io/report/assessment.h"
#include "io/report/gnuplot.h"
#include "io/report/text.h"
#include "io/study/study.h"

typedef struct swt_report_options {
    const char *command;     /**< command line that made the report, for its provenance; or NULL */
    const char *keep_script; /**< folder for the gnuplot scripts, made if need be; or NULL        */
} swt_report_options;

/** What came of it. */
typedef struct swt_report_outcome {
    size_t n_pages;
    bool figures_missing; /**< pages stand without figures; `message` says why */
    char message[512];
    size_t n_earlier;  /**< pages of an earlier report that stand beside these, out of date */
    char earlier[256]; /**< the first of them, by name                                      */
} swt_report_outcome;

/**
 * Writes folder/index.html, folder/study-quality.html, a page for each assessed player, and the
 * figures as SVG files in folder/figures. Files of the same names are replaced; pages of an earlier
 * report under other names are counted, and left.
 *
 * Without gnuplot the pages are written without figures, say so, and SWT_OK is returned.
 * @param[out] outcome  may be NULL
 * @retval SWT_EIO  a page could not be written
 */
SWT_MUST_USE swt_status swt_report_write(swt_report_outcome *outcome, const char *folder,
                                         const swt_study *study, const swt_assessment *assessment,
                                         const swt_report_options *options, swt_error *err);

/**
 * Draws the figures of all assessed players into a folder, as files alone: for a paper, a slide.
 * @param keep_script  folder for the gnuplot scripts, or NULL
 * @retval SWT_EIO  gnuplot is absent or failed, or the folder cannot be written
 */
SWT_MUST_USE swt_status swt_report_draw_figures(const char *folder, const swt_study *study,
                                                const swt_assessment *assessment,
                                                swt_plot_format format, swt_plot_size size,
                                                const char *keep_script, swt_error *err);

/**
 * The sentences that lead a player's page, as plain text: what departs first, by how much, when, in
 * how many swings; what came after it; how sure that is, and how much could not be compared. Order
 * in time only, never cause.
 */
void swt_report_lead(swt_text *out, const swt_assessment *assessment,
                     const swt_assessed_player *player);

/** The first part of it in a few words, for the index: "hands deeper, from 0.12 s". */
void swt_report_lead_short(swt_text *out, const swt_assessment *assessment,
                           const swt_assessed_player *player);

#endif
