#include "cli/summary.h"

#include "io/names.h"
#include "io/report/words.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_FAILURES = 10, MOST_KINDS = 20, MOST_LANDMARKS = 5 }; /* told one by one */

static void print_capture(const swt_study_capture *c)
{
    if (c->status != SWT_OK)
        printf("%s: failed: %s\n", c->file, c->message);
    else
        printf("%s: %zu frames at %g Hz, %zu markers, unit %s, %s\n", c->file, c->n_frames,
               c->rate_hz, c->n_points, *c->unit ? c->unit : "not stated", c->format);
}

static bool recorded_alike(const swt_study_capture *a, const swt_study_capture *b)
{
    return a->status == SWT_OK && b->status == SWT_OK && a->rate_hz == b->rate_hz &&
           a->n_points == b->n_points && strcmp(a->unit, b->unit) == 0 &&
           strcmp(a->format, b->format) == 0;
}

/* Those recorded like `first`, from it on; `told` marks them. */
static void print_alike(bool *told, const swt_study *study, size_t first)
{
    const swt_study_capture *c = &study->capture[first];
    size_t n = 0, fewest = c->n_frames, most = c->n_frames;

    for (size_t i = first; i < study->n_captures; i++) {
        if (!recorded_alike(c, &study->capture[i]))
            continue;
        told[i] = true;
        n++;
        fewest = study->capture[i].n_frames < fewest ? study->capture[i].n_frames : fewest;
        most = study->capture[i].n_frames > most ? study->capture[i].n_frames : most;
    }
    if (n == 1) {
        print_capture(c);
        return;
    }
    printf("%zu captures (%s and others): %zu", n, c->file, fewest);
    if (most > fewest)
        printf(" to %zu", most);
    printf(" frames at %g Hz, %zu markers, unit %s, %s\n", c->rate_hz, c->n_points,
           *c->unit ? c->unit : "not stated", c->format);
}

void swt_cli_print_captures(const swt_study *study, bool each)
{
    bool *told = calloc(study->n_captures + 1, sizeof *told);
    size_t kinds = 0;

    for (size_t i = 0; i < study->n_captures; i++) {
        if (each || !told) {
            print_capture(&study->capture[i]);
        } else if (!told[i] &&
                   study->capture[i].status == SWT_OK) { /* the others: with the counts */
            if (kinds++ < MOST_KINDS)
                print_alike(told, study, i);
        }
    }
    if (kinds > MOST_KINDS)
        printf("... and others: --verbose lists every capture\n");
    free(told);
}

static const char *severity_name(swt_severity severity)
{
    static const char *const name[] = {"note", "caution", "serious"};
    return name[severity];
}

/** The kinds of findings in a study, each with its first and how often it comes. */
typedef struct kinds {
    swt_names alike;
    size_t *first, *count; /* by kind; room for one a finding */
} kinds;

static bool sort_findings(kinds *k, const swt_study *study)
{
    *k = (kinds){0};
    k->first = calloc(study->n_findings + 1, sizeof *k->first);
    k->count = calloc(study->n_findings + 1, sizeof *k->count);
    for (size_t i = 0; k->first && k->count && i < study->n_findings; i++) {
        const swt_study_finding *f = &study->finding[i];
        const char *alike = f->swing < 0 ? f->text : f->code;
        size_t kind;
        if (swt_names_add(&kind, &k->alike, alike, strlen(alike), NULL) != SWT_OK)
            return false;
        if (k->count[kind]++ == 0)
            k->first[kind] = i;
    }
    return k->first && k->count;
}

static void forget_kinds(kinds *k)
{
    swt_names_reset(&k->alike);
    free(k->first);
    free(k->count);
}

static void print_kind(const swt_study *study, size_t first, size_t count)
{
    const swt_study_finding *f = &study->finding[first];

    printf("  %s, %s", severity_name(f->severity), f->code);
    if (count > 1)
        printf(" (%zu times, here the first)", count);
    printf(": %s: %s\n", study->capture[f->capture].file, f->text);
}

void swt_cli_print_findings(const swt_study *study, swt_severity least)
{
    size_t told = 0, without_label = 0;
    const swt_study_finding *unmatched = NULL;
    kinds k;

    if (sort_findings(&k, study))
        for (int severity = SWT_SERIOUS; severity >= (int)least; severity--)
            for (size_t kind = 0; kind < k.alike.n; kind++) {
                const swt_study_finding *f = &study->finding[k.first[kind]];
                if ((int)f->severity != severity)
                    continue;
                if (strcmp(f->code, "landmark_missing") == 0 && ++without_label > MOST_LANDMARKS) {
                    unmatched = f; /* a map for another marker set: one line says it */
                    continue;
                }
                if (told++ < MOST_KINDS)
                    print_kind(study, k.first[kind], k.count[kind]);
            }
    if (unmatched)
        printf(
            "  ... and %zu more landmarks of the map for which there is no label: is it the map of "
            "these captures? `swathe inspect` tells their labels\n",
            without_label - MOST_LANDMARKS);
    if (told > MOST_KINDS)
        printf("  ... and %zu more kinds: `swathe tables` lists them all in findings.csv\n",
               told - MOST_KINDS);
    forget_kinds(&k);
}

void swt_cli_print_outcome(const swt_batch *batch, const swt_batch_outcome *outcome)
{
    char kept[64], removed[64];

    if (outcome->unchanged)
        printf("nothing has changed: %s stands as it is\n", batch->study_path);
    else if (outcome->n_kept > 0)
        printf("%s unchanged, %zu done\n",
               swt_words_count(kept, sizeof kept, outcome->n_kept, "capture", "captures"),
               outcome->n_captures - outcome->n_kept);
    if (outcome->n_removed > 0)
        printf("%s that the sheet no longer names: %s\n",
               swt_words_count(removed, sizeof removed, outcome->n_removed, "capture", "captures"),
               batch->drop_removed ? "dropped" : "still in the study (--drop-removed drops them)");
}

/** The same swing by the same bytes under two file names would count double in every group. */
static void print_twice(const swt_study *study)
{
    swt_names seen = {0};
    size_t *swing = calloc(study->n_swings + 1, sizeof *swing), first = 0, again = 0, twice = 0;

    for (size_t i = 0; swing && i < study->n_swings; i++) {
        const swt_study_swing *s = &study->swing[i];
        size_t before = seen.n, k;
        char key[400];
        int length = snprintf(key, sizeof key, "%s %zu %.200s", study->capture[s->capture].sha256,
                              s->number, s->player);
        if (length < 0 || swt_names_add(&k, &seen, key, strlen(key), NULL) != SWT_OK)
            break;
        if (seen.n > before) {
            swing[k] = i;
        } else if (twice++ == 0) {
            first = swing[k];
            again = i;
        }
    }
    if (twice > 0)
        printf(
            "  caution: %zu of the swings stand in the study twice, by captures of the same bytes "
            "(%s and %s), and count double: take one out of the sheet, and use "
            "--drop-removed\n",
            twice, study->capture[study->swing[first].capture].file,
            study->capture[study->swing[again].capture].file);
    swt_names_reset(&seen);
    free(swing);
}

void swt_cli_print_counts(const swt_study *study)
{
    char captures[64], swings[64];
    size_t failed = 0, practice = 0;

    for (size_t i = 0; i < study->n_captures; i++)
        failed += study->capture[i].status != SWT_OK;
    for (size_t i = 0; i < study->n_swings; i++)
        practice += study->swing[i].strike == SWT_PRACTICE;
    printf("%s, %zu failed",
           swt_words_count(captures, sizeof captures, study->n_captures, "capture", "captures"),
           failed);
    if (study->n_swings > 0)
        printf("; %s measured",
               swt_words_count(swings, sizeof swings, study->n_swings, "swing", "swings"));
    if (practice > 0)
        printf(", %zu of them practice", practice);
    putchar('\n');
    for (size_t i = 0, told = 0; i < study->n_captures; i++) {
        if (study->capture[i].status == SWT_OK)
            continue;
        if (told++ == MOST_FAILURES) {
            printf("  ... and %zu more: `swathe tables` lists them all in captures.csv\n",
                   failed - MOST_FAILURES);
            break;
        }
        printf("  failed: %s\n", study->capture[i].message);
    }
}

void swt_cli_print_summary(const swt_study *study)
{
    swt_cli_print_counts(study);
    print_twice(study);
    /* notes are for who opens the study; here is what may change a reading */
    swt_cli_print_findings(study, SWT_CAUTION);
}
