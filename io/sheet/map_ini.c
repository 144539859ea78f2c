#include "io/sheet/map_ini.h"

#include "base/numtext.h"
#include "io/text.h"

#include <ctype.h>
#include <ini.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { LONGEST_LINE = 190 /* inih's own line buffer holds 200 */ };

enum {
    LABELS,
    RESIDUALS,
    PREFIX,
    UNITS,
    RATE,
    AXES,
    UP,
    TARGET,
    LEVELLED,
    RADIUS,
    SHOULDER_DROP,
    IMPACT_CHANNEL,
    IMPACT_THRESHOLD,
    IMPACT_DELAY,
    FIXED_KEYS
};

static const struct {
    const char *section, *key;
} fixed_key[FIXED_KEYS] = {
    [LABELS] = {"capture", "labels"},
    [RESIDUALS] = {"capture", "residuals"},
    [PREFIX] = {"capture", "prefix"},
    [UNITS] = {"capture", "units"},
    [RATE] = {"capture", "rate_hz"},
    [AXES] = {"laboratory", "axes"},
    [UP] = {"laboratory", "up"},
    [TARGET] = {"laboratory", "target"},
    [LEVELLED] = {"laboratory", "levelled"},
    [RADIUS] = {"markers", "radius_mm"},
    [SHOULDER_DROP] = {"body", "shoulder_drop_mm"},
    [IMPACT_CHANNEL] = {"impact", "channel"},
    [IMPACT_THRESHOLD] = {"impact", "threshold"},
    [IMPACT_DELAY] = {"impact", "delay_ms"},
};

static const char *const sections[] = {"capture", "laboratory", "markers",
                                       "body",    "impact",     "landmarks"};

typedef struct reading {
    swt_marker_map *map;
    const char *text; /* what is left to read */
    int line;         /* of the line just handed to inih */
    int fixed_line[FIXED_KEYS];
    size_t entry_room;
    swt_error *err;
    swt_status status; /* the first failure; its message is in err */
    int failed_line;
} reading;

static int fail(reading *r, swt_status code, const char *format, ...) SWT_PRINTF(3, 4);

/* Keeps the first failure. Returns 0, which is inih's "stop". */
static int fail(reading *r, swt_status code, const char *format, ...)
{
    char text[400];
    va_list args;

    if (r->status == SWT_OK) {
        va_start(args, format);
        vsnprintf(text, sizeof text, format, args);
        va_end(args);
        r->failed_line = r->line;
        r->status = swt_fail(r->err, code, "line %d, %s", r->line, text);
    }
    return 0;
}

/* inih's reader: one line, without the blanks before it, so that an indented key is a key and not
 * the continuation of the one above. */
static char *next_line(char *line, int room, void *user)
{
    reading *r = user;
    size_t length;

    if (*r->text == '\0' || r->status != SWT_OK)
        return NULL;
    r->line++;
    length = strcspn(r->text, "\r\n");
    while (length > 0 && isspace((unsigned char)*r->text)) {
        r->text++;
        length--;
    }
    if (length > LONGEST_LINE || (int)length + 2 > room) {
        fail(r, SWT_EFORMAT, "found %zu bytes, expected at most %d in a line", length,
             LONGEST_LINE);
        return NULL;
    }
    memcpy(line, r->text, length);
    line[length] = '\n';
    line[length + 1] = '\0';
    r->text += length;
    r->text += *r->text == '\r';
    r->text += *r->text == '\n';
    return line;
}

/* One of two words; false after an error. */
static bool read_choice(bool *out, reading *r, const char *key, const char *value, const char *no,
                        const char *yes)
{
    if (strcasecmp(value, yes) == 0)
        *out = true;
    else if (strcasecmp(value, no) == 0)
        *out = false;
    else
        return fail(r, SWT_EFORMAT, "key %s: found \"%s\", expected %s or %s", key, value, no, yes);
    return true;
}

static bool read_number(double *out, reading *r, const char *key, const char *value, double low,
                        double high, const char *unit)
{
    double number;

    if (!swt_parse_double(&number, value, strlen(value), '.') || number < low || number > high)
        return fail(r, SWT_EFORMAT, "key %s: found \"%s\", expected a number from %g to %g (%s)",
                    key, value, low, high, unit);
    *out = number;
    return true;
}

static bool read_axis(swt_signed_axis *out, reading *r, const char *key, const char *value)
{
    bool has_sign = value[0] == '+' || value[0] == '-';
    const char *letter = value + has_sign;
    int axis = tolower((unsigned char)letter[0]) - 'x' + 1;

    if (letter[0] == '\0' || letter[1] != '\0' || axis < 1 || axis > 3)
        return fail(r, SWT_EFORMAT,
                    "key %s: found \"%s\", expected a laboratory axis: +X, -X, +Y, -Y, +Z or -Z",
                    key, value);
    *out = value[0] == '-' ? -axis : axis;
    return true;
}

static bool read_units(reading *r, const char *value)
{
    r->map->metres_per_unit = swt_metres_per_unit(value);
    if (!(r->map->metres_per_unit > 0))
        return fail(r, SWT_EFORMAT, "key units: found \"%s\", expected mm, cm, m, in or ft", value);
    return true;
}

static bool read_label(char out[SWT_MAP_LABEL], reading *r, const char *key, const char *value)
{
    if (strlen(value) >= SWT_MAP_LABEL)
        return fail(r, SWT_EFORMAT, "key %s: found %zu bytes, expected at most %d", key,
                    strlen(value), SWT_MAP_LABEL - 1);
    strcpy(out, value);
    return true;
}

static bool read_fixed(reading *r, int which, const char *value)
{
    swt_marker_map *map = r->map;
    const char *key = fixed_key[which].key;
    double mm;

    if (r->fixed_line[which])
        return fail(r, SWT_EFORMAT, "key %s: found again, expected once (it is in line %d)", key,
                    r->fixed_line[which]);
    r->fixed_line[which] = r->line;
    switch (which) {
    case LABELS:
        return read_choice(&map->labels_from_descriptions, r, key, value, "labels", "descriptions");
    case RESIDUALS:
        return read_choice(&map->residuals_meaningless, r, key, value, "meaningful", "meaningless");
    case PREFIX:
        return read_label(map->prefix, r, key, value);
    case UNITS:
        return read_units(r, value);
    case RATE:
        return read_number(&map->rate_hz, r, key, value, 1, 100000, "frames per second");
    case AXES:
        return read_choice(&map->axes_left_handed, r, key, value, "right-handed", "left-handed");
    case UP:
        return read_axis(&map->up, r, key, value);
    case TARGET:
        return read_axis(&map->target, r, key, value);
    case LEVELLED:
        return read_choice(&map->levelled, r, key, value, "no", "yes");
    case RADIUS:
        if (!read_number(&mm, r, key, value, 0, 50, "millimetres"))
            return false;
        map->marker_radius_m = mm / 1000;
        return true;
    case IMPACT_CHANNEL:
        return read_label(map->impact_channel, r, key, value);
    case IMPACT_THRESHOLD:
        return read_number(&map->impact_threshold, r, key, value, 0, 1e12, "unit of the channel");
    case IMPACT_DELAY:
        if (!read_number(&mm, r, key, value, -1000, 1000, "milliseconds"))
            return false;
        map->impact_delay_s = mm / 1000;
        return true;
    default:
        if (!read_number(&mm, r, key, value, 0, 150, "millimetres"))
            return false;
        map->shoulder_drop_m = mm / 1000;
        return true;
    }
}

/* Splits "a, b" or "a + b" into the entry's labels. */
static bool read_labels(reading *r, swt_map_entry *entry, const char *key, const char *value)
{
    char separator = strchr(value, '+') ? '+' : ',';
    const char *at = value;

    entry->averaged = separator == '+';
    if (entry->averaged && strchr(value, ','))
        return fail(r, SWT_EFORMAT,
                    "key %s: found both ',' and '+' in \"%s\", expected alternatives (A, B) or "
                    "markers to average (A + B)",
                    key, value);
    for (;;) {
        size_t length = strcspn(at, (char[]){separator, '\0'}), next = length;
        while (length > 0 && isspace((unsigned char)at[length - 1]))
            length--;
        while (length > 0 && isspace((unsigned char)*at)) {
            at++;
            length--;
            next--;
        }
        if (length == 0)
            return fail(r, SWT_EFORMAT, "key %s: found an empty label in \"%s\"", key, value);
        if (length >= SWT_MAP_LABEL)
            return fail(r, SWT_EFORMAT, "key %s: found a label of %zu bytes, expected at most %d",
                        key, length, SWT_MAP_LABEL - 1);
        if (entry->n_labels == SWT_MAP_ALTERNATIVES)
            return fail(r, SWT_EFORMAT, "key %s: found more than %d labels", key,
                        SWT_MAP_ALTERNATIVES);
        memcpy(entry->label[entry->n_labels], at, length);
        entry->label[entry->n_labels][length] = '\0';
        for (size_t i = 0; i < entry->n_labels; i++)
            if (strcmp(entry->label[i], entry->label[entry->n_labels]) == 0)
                return fail(r, SWT_EFORMAT, "key %s: found label \"%s\" twice, expected each once",
                            key, entry->label[i]);
        entry->n_labels++;
        if (at[next] == '\0')
            return true;
        at += next + 1;
    }
}

/* One marker cannot be two landmarks; but it may take part in an average as well. */
static bool check_labels_are_free(reading *r, const swt_map_entry *entry)
{
    for (size_t e = 0; e < r->map->n_entries && !entry->averaged; e++) {
        const swt_map_entry *other = &r->map->entry[e];
        for (size_t i = 0; i < other->n_labels && !other->averaged; i++)
            for (size_t k = 0; k < entry->n_labels; k++)
                if (strcmp(other->label[i], entry->label[k]) == 0)
                    return fail(r, SWT_EFORMAT,
                                "key %s: found label \"%s\", which already stands for %s in line "
                                "%d",
                                entry->key, entry->label[k], other->key, other->line);
    }
    return true;
}

/* The landmark key most like `key`, or NULL when none is near. */
static const char *nearest_landmark(char *buffer, size_t size, const char *key)
{
    size_t best = 3; /* more edits than two are a guess */

    buffer[0] = '\0';
    if (strlen(key) >= SWT_MAP_LABEL)
        return NULL;
    for (int i = 0; i < SWT_LANDMARK_COUNT; i++) {
        /* table names say lead and trail; keys say left and right */
        const char *name = swt_landmark_name((swt_landmark)i);
        char candidate[48];
        size_t distance;
        if (strncmp(name, "lead.", 5) == 0)
            snprintf(candidate, sizeof candidate, "left.%s", name + 5);
        else if (strncmp(name, "trail.", 6) == 0)
            snprintf(candidate, sizeof candidate, "right.%s", name + 6);
        else
            snprintf(candidate, sizeof candidate, "%s", name);
        distance = swt_label_distance(key, candidate);
        if (distance < best) {
            best = distance;
            snprintf(buffer, size, "%s", candidate);
        }
    }
    return buffer[0] ? buffer : NULL;
}

static bool read_landmark(reading *r, const char *key, const char *value)
{
    swt_marker_map *map = r->map;
    swt_landmark landmark = swt_landmark_from_key(key, SWT_RIGHT_HANDED);
    swt_map_entry *entry;
    char near[48];

    if (landmark == SWT_LANDMARK_COUNT || strlen(key) >= sizeof entry->key) {
        if (nearest_landmark(near, sizeof near, key))
            return fail(r, SWT_EFORMAT, "key %s: found no such landmark; did you mean %s?", key,
                        near);
        return fail(r, SWT_EFORMAT, "key %s: found no such landmark%s", key,
                    strchr(key, '.') ? "" : "; sided ones begin with left. or right.");
    }
    for (size_t e = 0; e < map->n_entries; e++)
        if (swt_landmark_from_key(map->entry[e].key, SWT_RIGHT_HANDED) == landmark)
            return fail(r, SWT_EFORMAT, "key %s: found again, expected once (it is in line %d)",
                        key, map->entry[e].line);
    if (map->n_entries == r->entry_room) {
        size_t room = r->entry_room ? 2 * r->entry_room : 32;
        swt_map_entry *bigger = realloc(map->entry, room * sizeof *bigger);
        if (!bigger)
            return fail(r, SWT_ENOMEM, "out of memory");
        map->entry = bigger;
        r->entry_room = room;
    }
    entry = &map->entry[map->n_entries];
    memset(entry, 0, sizeof *entry);
    strcpy(entry->key, key);
    entry->line = r->line;
    if (!read_labels(r, entry, key, value) || !check_labels_are_free(r, entry))
        return false;
    map->n_entries++;
    return true;
}

static int unknown_section(reading *r, const char *section)
{
    const char *near = NULL;

    for (size_t i = 0; i < sizeof sections / sizeof *sections; i++)
        if (strlen(section) < SWT_MAP_LABEL && swt_label_distance(section, sections[i]) <= 2)
            near = sections[i];
    if (section[0] == '\0')
        return fail(r, SWT_EFORMAT,
                    "a key before any section: expected [capture], [laboratory], "
                    "[markers], [body], [impact] or [landmarks] above it");
    return fail(r, SWT_EFORMAT,
                "section [%s]: found no such section;%s%s%s expected [capture], [laboratory], "
                "[markers], [body], [impact] or [landmarks]",
                section, near ? " did you mean [" : "", near ? near : "", near ? "]?" : "");
}

static int unknown_key(reading *r, const char *section, const char *key)
{
    char list[200] = "";
    const char *near = NULL;

    for (int k = 0; k < FIXED_KEYS; k++) {
        if (strlen(key) < SWT_MAP_LABEL && swt_label_distance(key, fixed_key[k].key) <= 2)
            near = fixed_key[k].key;
        if (strcasecmp(fixed_key[k].section, section) == 0) {
            size_t used = strlen(list);
            snprintf(list + used, sizeof list - used, "%s%s", used ? ", " : "", fixed_key[k].key);
        }
    }
    return fail(r, SWT_EFORMAT, "key %s: found no such key in [%s];%s%s%s expected %s", key,
                section, near ? " did you mean " : "", near ? near : "", near ? "?" : "", list);
}

static int on_key(void *user, const char *section, const char *key, const char *value)
{
    reading *r = user;
    bool section_known = false;

    if (value[0] == '\0')
        return fail(r, SWT_EFORMAT, "key %s: found no value; remove the line if there is none",
                    key);
    if (strcasecmp(section, "landmarks") == 0)
        return read_landmark(r, key, value);
    for (int k = 0; k < FIXED_KEYS; k++)
        if (strcasecmp(fixed_key[k].section, section) == 0 &&
            strcasecmp(fixed_key[k].key, key) == 0)
            return read_fixed(r, k, value);
    for (size_t i = 0; i < sizeof sections / sizeof *sections; i++)
        section_known = section_known || strcasecmp(section, sections[i]) == 0;
    return section_known ? unknown_key(r, section, key) : unknown_section(r, section);
}

static swt_status check_whole(reading *r)
{
    const swt_marker_map *map = r->map;

    if (!r->fixed_line[UP])
        return swt_fail(r->err, SWT_EFORMAT,
                        "key up in [laboratory] is missing: expected the axis that points up, such "
                        "as +Z");
    if (map->target && abs(map->target) == abs(map->up))
        return swt_fail(r->err, SWT_EFORMAT,
                        "line %d, key target: found the same axis as up (line %d)",
                        r->fixed_line[TARGET], r->fixed_line[UP]);
    if (map->impact_channel[0] == '\0' &&
        (r->fixed_line[IMPACT_THRESHOLD] || r->fixed_line[IMPACT_DELAY]))
        return swt_fail(r->err, SWT_EFORMAT,
                        "key channel in [impact] is missing: expected the label of the analog "
                        "channel that marks contact");
    if (map->n_entries == 0)
        return swt_fail(r->err, SWT_EFORMAT,
                        "section [landmarks] is missing or empty: expected lines such as "
                        "left.ASIS = LASI");
    return SWT_OK;
}

static swt_status parse(swt_marker_map *map, const unsigned char *bytes, size_t size,
                        swt_error *err)
{
    reading r = {.map = map, .text = (const char *)bytes, .err = err};
    int bad_line;

    if (memchr(bytes, 0, size))
        return swt_fail(err, SWT_EFORMAT, "a NUL byte: this is not a marker map");
    if (!swt_text_is_utf8(bytes, size))
        return swt_fail(err, SWT_EFORMAT, "not UTF-8 text: save the map in UTF-8");
    if (size >= 3 && memcmp(bytes, "\xef\xbb\xbf", 3) == 0)
        r.text += 3;
    bad_line = ini_parse_stream(next_line, &r, on_key, &r);
    if (bad_line > 0 && (r.status == SWT_OK || bad_line < r.failed_line))
        return swt_fail(err, SWT_EFORMAT,
                        "line %d: found neither [section], nor key = value, nor a comment (# or ;)",
                        bad_line);
    if (bad_line < 0 && r.status == SWT_OK)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    return r.status != SWT_OK ? r.status : check_whole(&r);
}

swt_status swt_map_ini_parse(swt_marker_map *map, const unsigned char *bytes, size_t size,
                             swt_error *err)
{
    swt_status rc;

    swt_marker_map_init(map);
    rc = parse(map, bytes, size, err);
    if (rc != SWT_OK)
        swt_marker_map_reset(map);
    return rc;
}

swt_status swt_map_ini_read(swt_marker_map *map, char *sha256, const char *path, swt_error *err)
{
    unsigned char *bytes;
    size_t size;
    swt_status rc;

    swt_marker_map_init(map);
    rc = swt_file_read(&bytes, &size, path, err);
    if (rc == SWT_OK)
        rc = swt_map_ini_parse(map, bytes, size, err);
    if (rc != SWT_OK)
        swt_error_prefix(err, "%s", path);
    else if (sha256)
        swt_sha256(sha256, bytes, size);
    free(bytes);
    return rc;
}
