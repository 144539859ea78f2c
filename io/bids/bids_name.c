#include "io/bids/bids_name.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

static bool copy_part(char *out, size_t room, const char *text, size_t length)
{
    if (length == 0 || length >= room)
        return false;
    memcpy(out, text, length);
    out[length] = '\0';
    return true;
}

static bool is_label(const char *text)
{
    for (; *text; text++)
        if (!isalnum((unsigned char)*text))
            return false;
    return true;
}

bool swt_bids_name_split(swt_bids_name *name, const char *path)
{
    const char *slash = strrchr(path, '/'), *at = slash ? slash + 1 : path;
    const char *dot = strchr(at, '.');

    memset(name, 0, sizeof *name);
    if (!dot || !copy_part(name->ending, sizeof name->ending, dot, strlen(dot)))
        return false;
    while (at < dot) {
        size_t length = strcspn(at, "_.");
        const char *dash = memchr(at, '-', length);
        if (at + length == dot)
            return !dash && copy_part(name->suffix, sizeof name->suffix, at, length);
        if (!dash || name->n == SWT_BIDS_ENTITIES ||
            !copy_part(name->key[name->n], sizeof name->key[0], at, (size_t)(dash - at)) ||
            !copy_part(name->value[name->n], sizeof name->value[0], dash + 1,
                       length - (size_t)(dash + 1 - at)))
            return false;
        name->n++;
        at += length + 1;
    }
    return false;
}

const char *swt_bids_name_value(const swt_bids_name *name, const char *key)
{
    for (size_t i = 0; i < name->n; i++)
        if (strcmp(name->key[i], key) == 0)
            return name->value[i];
    return NULL;
}

bool swt_bids_name_applies(const swt_bids_name *side, const swt_bids_name *of)
{
    for (size_t i = 0; i < side->n; i++) {
        const char *value = swt_bids_name_value(of, side->key[i]);
        if (!value || strcmp(value, side->value[i]) != 0)
            return false;
    }
    return true;
}

bool swt_bids_is_motion(const char *path)
{
    static const char end[] = "_motion.tsv";
    size_t n = strlen(path);

    return n >= sizeof end && strcmp(path + n - (sizeof end - 1), end) == 0;
}

swt_status swt_bids_name_check(swt_bids_name *name, const char *path, swt_error *err)
{
    static const struct {
        const char *key;
        bool required;
    } order[] = {{"sub", true},      {"ses", false}, {"task", true},
                 {"tracksys", true}, {"acq", false}, {"run", false}};
    size_t at = 0;

    if (!swt_bids_name_split(name, path) || strcmp(name->suffix, "motion") != 0 ||
        strcmp(name->ending, ".tsv") != 0)
        return swt_fail(err, SWT_EARG,
                        "%s: a BIDS recording is called sub-01_task-swing_tracksys-optical"
                        "_motion.tsv, with _ses-1 after the subject and _acq-driver, _run-1 after "
                        "the tracking system where wanted",
                        path);
    for (size_t k = 0; k < sizeof order / sizeof *order; k++) {
        bool here = at < name->n && strcmp(name->key[at], order[k].key) == 0;
        if (!here && order[k].required)
            return swt_fail(err, SWT_EARG,
                            "%s: %s-<label> is missing or not in its place; BIDS orders sub, ses, "
                            "task, tracksys, acq, run",
                            path, order[k].key);
        if (here && !is_label(name->value[at]))
            return swt_fail(err, SWT_EARG, "%s: %s-%s may hold letters and digits only", path,
                            name->key[at], name->value[at]);
        at += here;
    }
    if (at < name->n)
        return swt_fail(err, SWT_EARG,
                        "%s: %s-%s has no place here; BIDS orders sub, ses, task, tracksys, acq, "
                        "run",
                        path, name->key[at], name->value[at]);
    return SWT_OK;
}
