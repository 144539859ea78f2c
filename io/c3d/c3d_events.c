/* Events of a C3D file: up to 18 in the header, any number in the EVENT group. */
#include "io/c3d/c3d_describe.h"
#include "io/text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    HEADER_EVENTS = 18,
    EVENT_COUNT_AT = 300,  /* word 151 */
    EVENT_TIMES_AT = 304,  /* word 153 */
    EVENT_LABELS_AT = 396, /* word 199 */
    LONG_LABEL_KEY_AT = 298,
    LONG_LABEL_KEY = 12345,
    MOST_GROUP_EVENTS = 65535
};

/* Texts of a list in parts, NULL where the file has none. */
static char **take_list(size_t n, const swt_c3d_parameters *parameters, const char *name,
                        swt_error *err)
{
    char **texts = calloc(n + 1, sizeof *texts);
    size_t found;

    if (!texts) {
        swt_fail(err, SWT_ENOMEM, "out of memory");
        return NULL;
    }
    if (swt_c3d_texts(&found, texts, n, parameters, "EVENT", name, err) != SWT_OK) {
        for (size_t i = 0; i < n; i++)
            free(texts[i]);
        free(texts);
        return NULL;
    }
    return texts;
}

static void free_list(char **texts, size_t n)
{
    if (!texts)
        return;
    for (size_t i = 0; i < n; i++)
        free(texts[i]);
    free(texts);
}

/* How many (minutes, seconds) pairs the file holds, and says that it uses. */
static size_t count_group_events(const swt_c3d_parameters *parameters)
{
    const swt_c3d_parameter *p;
    size_t n = 0;
    double used;

    for (unsigned part = 1; (p = swt_c3d_find_part(parameters, "EVENT", "TIMES", part)); part++)
        n += p->count / 2;
    if (n > MOST_GROUP_EVENTS)
        n = MOST_GROUP_EVENTS;
    if (swt_c3d_number(&used, parameters, "EVENT", "USED", true) && used >= 0 && used < (double)n)
        n = (size_t)used;
    return n;
}

/* Some recorders leave the labels blank and name the event by its context. */
static swt_status add_group_event(swt_capture *c, const char *label, const char *context,
                                  double time_s, swt_error *err)
{
    if (!label)
        label = "";
    if (!context)
        context = "";
    return label[0] == '\0' ? swt_capture_add_event(c, context, "", time_s, err)
                            : swt_capture_add_event(c, label, context, time_s, err);
}

static swt_status read_group_events(swt_capture *c, const swt_c3d_parameters *parameters,
                                    swt_error *err)
{
    const size_t listed = count_group_events(parameters);
    size_t n = listed, skipped = 0;
    double *time = malloc((2 * n + 1) * sizeof *time), before_first_s = 0;
    char **labels = take_list(n, parameters, "LABELS", err);
    char **contexts = take_list(n, parameters, "CONTEXTS", err);
    swt_status rc = time && labels && contexts ? SWT_OK : SWT_ENOMEM;

    if (rc != SWT_OK) {
        swt_fail(err, SWT_ENOMEM, "out of memory");
        goto done;
    }
    if (n > 0 && c->rate_hz > 0)
        before_first_s = (double)(c->first_frame - 1) / c->rate_hz;
    n = swt_c3d_numbers(time, 2 * n, parameters, "EVENT", "TIMES", false) >= 2 * n ? n : 0;
    for (size_t i = 0; i < n && rc == SWT_OK; i++) {
        double time_s = 60 * time[2 * i] + time[2 * i + 1] - before_first_s;
        if (!isfinite(time_s)) {
            skipped++;
            continue;
        }
        rc = add_group_event(c, labels[i], contexts[i], time_s, err);
    }
    if (skipped > 0)
        swt_capture_warn(c, "%zu events have no finite time; left out", skipped);
done:
    free(time);
    free_list(labels, listed);
    free_list(contexts, listed);
    return rc;
}

/* The same event is often stored twice; the header has only four characters of its label. */
static bool is_known(const swt_capture *c, size_t n, const char *label, double time_s)
{
    double close_s = c->rate_hz > 0 ? 0.5 / c->rate_hz : 0;

    for (size_t i = 0; i < n; i++)
        if (fabs(c->event[i].time_s - time_s) <= close_s &&
            strncmp(c->event[i].label, label, strlen(label)) == 0)
            return true;
    return false;
}

static swt_status read_header_events(swt_capture *c, const unsigned char *header,
                                     swt_c3d_processor processor, swt_error *err)
{
    unsigned n = swt_c3d_word(header + EVENT_COUNT_AT, processor);
    size_t length = swt_c3d_word(header + LONG_LABEL_KEY_AT, processor) == LONG_LABEL_KEY ? 4 : 2;
    size_t n_group = c->n_events;
    swt_status rc = SWT_OK;

    if (n > HEADER_EVENTS) {
        swt_capture_warn(c, "the header says %u events, where 18 is the most; they are left out",
                         n);
        return SWT_OK;
    }
    for (unsigned i = 0; i < n && rc == SWT_OK; i++) {
        double time_s = swt_c3d_real(header + EVENT_TIMES_AT + 4 * i, processor);
        char *label = swt_text_to_utf8(header + EVENT_LABELS_AT + length * i, length);
        if (!label)
            return swt_fail(err, SWT_ENOMEM, "out of memory");
        if (!isfinite(time_s))
            swt_capture_warn(c, "header event %u has no finite time; left out", i + 1);
        else if (!is_known(c, n_group, label, time_s))
            rc = swt_capture_add_event(c, label, "", time_s, err);
        free(label);
    }
    return rc;
}

swt_status swt_c3d_read_events(swt_capture *c, const unsigned char *header,
                               const swt_c3d_parameters *parameters, swt_error *err)
{
    swt_status rc = read_group_events(c, parameters, err);

    if (rc == SWT_OK)
        rc = read_header_events(c, header, parameters->processor, err);
    return rc;
}
