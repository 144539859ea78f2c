/** @file  What the pages share. For io/report alone. */
#ifndef SWT_IO_REPORT_PAGE_PARTS_H
#define SWT_IO_REPORT_PAGE_PARTS_H

#include "io/report/html.h"
#include "io/report/progress.h"
#include "io/report/replay.h"
#include "io/report/report.h"
#include "io/report/words.h"

enum { PICTURES_MOST = 12, PATH_ROOM = 4096, EVERY_SWING = -2 };

/** One figure of a page: its file, what it shows in words. */
typedef struct page_picture {
    char path[PATH_ROOM];
    char alt[1000];
    const char *caption;
    bool group_signs; /* the group's events are marked beside the player's */
} page_picture;

typedef struct page_pictures {
    size_t n;
    page_picture item[PICTURES_MOST]; /* the first is the still of the replay, where has_still */
    bool drawn, has_still;
} page_pictures;

/** Draws a player's figures, most telling first. SWT_EIO: gnuplot; then `drawn` is false. */
SWT_MUST_USE swt_status page_draw_pictures(page_pictures *pictures, const char *folder,
                                           const char *slug, const swt_study *study,
                                           const swt_assessment *a, const swt_assessed_player *p,
                                           const replay_group *group, swt_plot_format format,
                                           swt_plot_size size, const char *keep_script,
                                           swt_error *err);

/** Keeps the picture begun last, or takes it back without fuss where there was nothing to draw
 *  (SWT_EDATA). Returns `drawn` otherwise. */
SWT_MUST_USE swt_status page_keep_picture(page_pictures *pictures, swt_plot *plot,
                                          swt_status drawn);

/** "progress-02-a1": the page of the set with that number, without its ending. */
char *page_progress_slug(char *out, size_t room, const swt_progress_set *set, size_t number);

/** "player-03-p07": the number keeps codes apart that differ in signs only. */
char *page_slug(char *out, size_t room, const char *code, size_t number);

/** The pages that others lead to. */
typedef struct page_links {
    const char *const *player; /**< file names, of all players */
    const swt_progress
        *progress; /**< its sets have a page each; NULL: nobody has several sessions */
} page_links;

/** A player's page. `figures_note`: why there are none, NULL when there are. */
SWT_MUST_USE swt_status page_player(swt_text *page, const swt_study *study, const swt_assessment *a,
                                    const swt_assessed_player *p, const replay_group *group,
                                    const page_pictures *pictures, const char *figures_note,
                                    const page_links *links, const swt_report_options *options,
                                    swt_error *err);

/** The reference group's figures, and its page. As page_draw_pictures and page_player. */
SWT_MUST_USE swt_status page_draw_group(page_pictures *pictures, const char *folder,
                                        const swt_study *study, const swt_assessment *a,
                                        const char *keep_script, swt_error *err);
SWT_MUST_USE swt_status page_group(swt_text *page, const swt_study *study, const swt_assessment *a,
                                   const page_pictures *pictures, const char *figures_note,
                                   const swt_report_options *options, swt_error *err);

/** A player over sessions. `figures`: folder for those of the clearest changes, NULL: none. */
SWT_MUST_USE swt_status page_progress(swt_text *page, const char *figures, const char *slug,
                                      const swt_study *study, const swt_assessment *a,
                                      const page_links *links, const swt_progress_set *set,
                                      const swt_report_options *options, swt_error *err);

/** Why measures are absent or limited, over the whole study. */
void page_reasons(swt_text *page, const swt_study *study);

void page_index(swt_text *page, const swt_study *study, const swt_assessment *a,
                const page_links *links, const swt_report_options *options);

void page_study_quality(swt_text *page, const swt_study *study, const swt_assessment *a,
                        const swt_report_options *options);

/** A measure over a player's swings. */
typedef struct page_row_facts {
    const swt_corridor *corridor; /**< NULL where the group has none            */
    size_t n, above, below;       /**< swings with a value; outside             */
    double median, sd;
    swt_verdict verdict; /**< worst of the swings that have a value    */
    swt_verdict absent;  /**< why others have none                     */
} page_row_facts;

/** The facts of a row of the table of measures. `room`: two numbers for each of the player's
 *  swings. */
page_row_facts page_find_facts(const swt_study *study, const swt_assessment *a,
                               const swt_assessed_player *p, size_t row, double *room);

/** Depth and height of the hands at three moments of the backswing and what made the depth, beside
 *  what is usual in the group. */
SWT_MUST_USE swt_status page_hands_table(swt_text *page, const swt_study *study,
                                         const swt_assessment *a, const swt_assessed_player *p,
                                         swt_error *err);

/** Table of all measures of a player against the group, and their definitions. */
SWT_MUST_USE swt_status page_measure_table(swt_text *page, const swt_study *study,
                                           const swt_assessment *a, const swt_assessed_player *p,
                                           swt_error *err);
void page_definitions(swt_text *page, const swt_assessment *a);

/** Table of a player's departures. */
void page_departure_table(swt_text *page, const swt_assessment *a, const swt_assessed_player *p);

/** How good the player's captures are, those with the same remarks together. */
void page_player_quality(swt_text *page, const swt_study *study, const swt_assessment *a,
                         const swt_assessed_player *p);

/** The replay in space with the camera check; nothing where the study holds no body. `still`: the
 *  picture that stands for it in print, or NULL. */
SWT_MUST_USE swt_status page_replay(swt_text *page, const swt_study *study, const swt_assessment *a,
                                    const swt_assessed_player *p, const replay_group *group,
                                    const page_picture *still, swt_error *err);

/** What the group is and what its corridor is worth, in words. */
void page_group_words(swt_text *page, const swt_assessment *a);

/** The cautions that every report carries. */
void page_cautions(swt_text *page, const swt_assessment *a);

/** Versions, commands, options, hashes. */
void page_provenance(swt_text *page, const swt_study *study, const swt_assessment *a,
                     const swt_report_options *options);

/** "the hands are deeper" or "backswing time is 0.62 s (faster backswing)". */
void page_clause(swt_text *out, const swt_assessment *a, const swt_player_departure *d);

/** " Of the 33 measures 9 could be compared throughout, 22 in part (...) and 2 not at all." */
void page_unseen_sentence(swt_text *out, const swt_assessment *a, const swt_assessed_player *p);

/** A section that lists what could not be compared and why; nothing where all could. */
void page_unseen(swt_text *page, const swt_study *study, const swt_assessment *a,
                 const swt_assessed_player *p);

/** The first event at the ends of the phases marked that a swing lacks, and why it does: "lead arm
 *  level, backswing: not reached in this swing"; "" when none is absent. Returns `out`. */
char *page_absent_event(char *out, size_t size, const swt_study *study, const size_t *row, size_t n,
                        const bool phase[SWT_PHASES]);

/** Serious findings about a player's captures; `first` may be NULL. Returns how many. */
size_t page_serious(const swt_study_finding **first, const swt_study *study,
                    const swt_assessment *a, const swt_assessed_player *p);

/** Findings about a capture and one of its swings, or EVERY_SWING, that weigh `least` or more, the
 *  gravest first; returns how many. */
size_t page_findings(swt_text *page, const swt_study *study, size_t capture, long swing,
                     swt_severity least);

#endif
