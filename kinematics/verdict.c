#include "kinematics/verdict.h"

#include "kinematics/swing.h"

#include <stdarg.h>
#include <stdio.h>

const char *swt_state_name(unsigned state)
{
    static const char *const names[] = {"absent", "limited", "usable"};
    return state < 3 ? names[state] : "?";
}

static const char *subject_name(char *words, size_t size, swt_verdict v)
{
    switch (v.reason) {
    case SWT_REASON_LANDMARK_MISSING:
        return swt_landmark_words(words, size, (swt_landmark)v.subject);
    case SWT_REASON_EVENT_ABSENT:
        return v.subject < SWT_EVENT_COUNT ? swt_event_title((swt_event)v.subject) : "?";
    case SWT_REASON_SERIES_ABSENT:
        return v.subject < SWT_SERIES_COUNT ? swt_series_describe((swt_series)v.subject)->title
                                            : "?";
    default:
        return NULL;
    }
}

const char *swt_reason_text(char *buffer, size_t size, swt_verdict verdict)
{
    static const char *const texts[] = {
#define X(id, text) text,
        SWT_REASONS(X)
#undef X
    };
    const char *text = verdict.reason < SWT_REASON_COUNT ? texts[verdict.reason] : "?";
    char words[96];
    const char *subject = subject_name(words, sizeof words, verdict);
    const char *mark = NULL;

    for (const char *p = text; *p; p++)
        if (p[0] == '%' && p[1] == 's')
            mark = p;
    if (mark)
        snprintf(buffer, size, "%.*s%s%s", (int)(mark - text), text, subject ? subject : "?",
                 mark + 2);
    else
        snprintf(buffer, size, "%s", text);
    return buffer;
}

void swt_findings_add(swt_findings *findings, swt_severity severity, const char *code,
                      const char *format, ...)
{
    swt_finding *item;
    va_list args;

    if (findings->n == SWT_FINDINGS_MAX) {
        findings->dropped++;
        return;
    }
    item = &findings->item[findings->n++];
    item->severity = (unsigned char)severity;
    snprintf(item->code, sizeof item->code, "%s", code);
    va_start(args, format);
    vsnprintf(item->text, sizeof item->text, format, args);
    va_end(args);
}
