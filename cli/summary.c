#include "cli/summary.h"

#include "io/report/words.h"

#include <stdio.h>
#include <string.h>

enum { MOST_FAILURES = 10 }; /* told one by one */

void swt_cli_print_captures(const swt_study *study)
{
    for (size_t i = 0; i < study->n_captures; i++) {
        const swt_study_capture *c = &study->capture[i];

        if (c->status != SWT_OK)
            printf("%s: failed: %s\n", c->file, c->message);
        else
            printf("%s: %zu frames at %g Hz, %zu markers, unit %s, %s\n", c->file, c->n_frames,
                   c->rate_hz, c->n_points, *c->unit ? c->unit : "not stated", c->format);
    }
}

static const char *severity_name(swt_severity severity)
{
    static const char *const name[] = {"note", "caution", "serious"};
    return name[severity];
}

/** Prints all findings with the code of finding `first`, which is the first of its kind. */
static void print_kind(const swt_study *study, size_t first)
{
    const swt_study_finding *f = &study->finding[first];
    size_t n = 0;

    for (size_t i = first; i < study->n_findings; i++)
        n += strcmp(study->finding[i].code, f->code) == 0;
    printf("  %s, %s", severity_name(f->severity), f->code);
    if (n > 1)
        printf(" (%zu times, here the first)", n);
    printf(": %s: %s\n", study->capture[f->capture].file, f->text);
}

static bool is_first_of_kind(const swt_study *study, size_t i)
{
    for (size_t k = 0; k < i; k++)
        if (strcmp(study->finding[k].code, study->finding[i].code) == 0)
            return false;
    return true;
}

void swt_cli_print_summary(const swt_study *study)
{
    char captures[64], swings[64];
    size_t failed = 0, practice = 0;

    for (size_t i = 0; i < study->n_captures; i++)
        failed += study->capture[i].status != SWT_OK;
    for (size_t i = 0; i < study->n_swings; i++)
        practice += study->swing[i].strike == SWT_PRACTICE;
    printf("%s, %zu failed; %s measured",
           swt_words_count(captures, sizeof captures, study->n_captures, "capture", "captures"),
           failed, swt_words_count(swings, sizeof swings, study->n_swings, "swing", "swings"));
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
    /* notes are for who opens the study; here is what may change a reading */
    for (int severity = SWT_SERIOUS; severity >= SWT_CAUTION; severity--)
        for (size_t i = 0; i < study->n_findings; i++)
            if ((int)study->finding[i].severity == severity && is_first_of_kind(study, i))
                print_kind(study, i);
}
