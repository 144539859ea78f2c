/* The replay on a player's page: its controls, the camera's table, and the still picture that
 * stands there without a script and in print. */
#include "io/report/replay.h"
#include "io/report/hands.h"
#include "io/report/page_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const swt_camera usual = {.height_m = 1.0, .distance_m = 4.0, .angle_rad = 0};

/* How much of the swings' names is one folder for all, and only fills the list. */
static size_t common_folder(const swt_study *study, const size_t *row, size_t n)
{
    char first[300], name[300];
    size_t same;

    swt_study_swing_name(first, sizeof first, study, row[0]);
    same = strlen(first);
    for (size_t k = 0; k < n; k++) {
        swt_study_swing_name(name, sizeof name, study, row[k]);
        for (size_t c = 0; c < same; c++)
            if (name[c] != first[c])
                same = c;
    }
    while (same > 0 && first[same - 1] != '/')
        same--;
    return same;
}

static void add_swing_choice(swt_text *page, const swt_study *study, const size_t *row, size_t n,
                             size_t n_all)
{
    size_t folder = n > 0 ? common_folder(study, row, n) : 0;
    char name[300];

    swt_text_add(page, "<label>Swing <select data-part=\"swing\">");
    for (size_t k = 0; k < n; k++) {
        swt_text_add(page, "<option value=\"%zu\">", k);
        swt_html_text(page, swt_study_swing_name(name, sizeof name, study, row[k]) + folder);
        swt_text_add(page, "</option>");
    }
    swt_text_add(page, "</select></label>\n");
    if (n < n_all)
        swt_text_add(page, "<p class=\"soft\">The first %zu of %zu swings.</p>\n", n, n_all);
}

static void add_slider(swt_text *page, const char *part, const char *words, double low, double high,
                       double step, double value)
{
    swt_text_add(page,
                 "<label>%s <output data-part=\"%s-value\"></output>"
                 "<input type=\"range\" data-part=\"%s\" min=\"%g\" max=\"%g\" step=\"%g\" "
                 "value=\"%g\"></label>\n",
                 words, part, part, low, high, step, value);
}

static void add_controls(swt_text *page, const swt_study *study, const size_t *row, size_t n,
                         size_t n_all, bool with_group, bool with_tube)
{
    swt_text_add(
        page,
        "<div class=\"controls\">\n"
        "<div class=\"buttons\" role=\"group\" aria-label=\"Playing\">"
        "<button type=\"button\" data-part=\"play\">Play</button>"
        "<button type=\"button\" data-part=\"back\" aria-label=\"one frame back\">&lt;</button>"
        "<button type=\"button\" data-part=\"forward\" aria-label=\"one frame on\">&gt;</button>"
        "<label>Speed <select data-part=\"speed\"><option value=\"1\">1</option>"
        "<option value=\"0.5\">1/2</option><option value=\"0.25\" selected>1/4</option>"
        "<option value=\"0.1\">1/10</option></select></label></div>\n"
        "<label>Time<input type=\"range\" data-part=\"time\" min=\"0\" max=\"1000\" step=\"1\" "
        "value=\"0\"></label>\n"
        "<div class=\"buttons\" role=\"group\" aria-label=\"Go to an event\">");
    for (size_t i = 0; i < SWT_HANDS_EVENTS; i++)
        swt_text_add(page, "<button type=\"button\" data-to=\"%d\">%s</button>",
                     swt_hands_events[i], swt_event_title(swt_hands_events[i]));
    swt_text_add(page,
                 "</div>\n<div class=\"buttons\" role=\"group\" aria-label=\"Look from\">"
                 "<button type=\"button\" data-view=\"behind\">along the target line</button>"
                 "<button type=\"button\" data-view=\"facing\">facing the player</button>"
                 "<button type=\"button\" data-view=\"target\">from the target</button>"
                 "<button type=\"button\" data-view=\"above\">from above</button>"
                 "<span class=\"pair\">"
                 "<button type=\"button\" data-part=\"closer\" aria-label=\"closer\">+</button>"
                 "<button type=\"button\" data-part=\"farther\" aria-label=\"farther\">-</button>"
                 "</span></div>\n");
    add_swing_choice(page, study, row, n, n_all);
    if (with_tube)
        swt_text_add(page, "<label><input type=\"checkbox\" data-part=\"show-tube\" checked> the "
                           "group's corridor</label>\n");
    if (with_group)
        swt_text_add(page, "<label><input type=\"checkbox\" data-part=\"show-group\" checked> the "
                           "group's median swing</label>\n");
    swt_text_add(page, "<p class=\"soft\">Drag to turn. Keys on the picture: arrows turn, space "
                       "plays, comma and point go frame by frame, n and p event by event, + and - "
                       "zoom.</p>\n</div>\n");
}

static void add_seen_rows(swt_text *page, const swt_camera *camera,
                          const swt_vec3 hands[SWT_EVENT_COUNT])
{
    for (size_t i = 0; i < SWT_HANDS_EVENTS; i++) {
        swt_event e = swt_hands_events[i];
        double seen = swt_camera_apparent_depth(camera, hands[e]);
        double off = round(1000 * (seen - hands[e].y)) + 0.0; /* no -0 */
        swt_text_add(page, "<tr data-event=\"%d\"><th scope=\"row\">%s</th>", e,
                     swt_event_title(e));
        if (isfinite(seen))
            swt_text_add(page,
                         "<td class=\"n\">%.0f</td><td class=\"n\">%.0f</td>"
                         "<td class=\"n\">%s%.0f</td></tr>\n",
                         1000 * hands[e].y, 1000 * seen, off > 0 ? "+" : "", off);
        else
            swt_text_add(page, "<td class=\"n\">-</td><td class=\"n\">-</td>"
                               "<td class=\"n\">-</td></tr>\n");
    }
}

/* The finding about the usual place, in words; the script says the same of any other. */
static void add_camera_words(swt_text *page, const swt_camera *camera, const char *swing,
                             const swt_vec3 hands[SWT_EVENT_COUNT])
{
    swt_vec3 at[SWT_HANDS_EVENTS];
    swt_camera best;
    double worst, least, depth;

    for (size_t i = 0; i < SWT_HANDS_EVENTS; i++)
        at[i] = hands[swt_hands_events[i]];
    worst = swt_camera_worst_error(camera, at, SWT_HANDS_EVENTS);
    least = swt_camera_best_place(&best, camera, at, SWT_HANDS_EVENTS);
    if (!isfinite(worst) || !isfinite(least))
        return;
    depth = swt_camera_position(&best).y;
    swt_text_add(
        page,
        "<p>A video camera %.1f m behind the hands, %.1f m high, on a line parallel to the target "
        "line, misjudges the depth of the hands by up to %.0f mm (in ",
        camera->distance_m, camera->height_m, 1000 * worst);
    swt_html_text(page, swing);
    swt_text_add(
        page,
        "). At the same distance it would err least, by up to %.0f mm, at a height of %.2f m with "
        "its lens %.0f mm %s the toe line (an angle of %.0f deg).</p>\n",
        1000 * least, best.height_m, 1000 * fabs(depth), depth < 0 ? "in front of" : "behind",
        SWT_DEGREES(best.angle_rad));
}

static void add_camera(swt_text *page, const char *swing, const swt_vec3 hands[SWT_EVENT_COUNT])
{
    static const char *const columns[] = {"Event", "#Depth (mm)", "#As seen (mm)", "#Off by (mm)"};
    swt_camera camera = usual;

    camera.aim = swt_camera_aim_point(SWT_AIM_HANDS, hands);
    swt_html_heading(page, 3, "camera", "What one camera would make of it");
    add_camera_words(page, &camera, swing, hands);
    swt_text_add(page,
                 "<div class=\"controls place\">\n<label><input type=\"checkbox\" "
                 "data-part=\"camera\"> look "
                 "through this camera</label>\n"
                 "<label>Aims at <select data-part=\"aim\"><option value=\"hands\">the hands at "
                 "address</option><option value=\"toes\">the toe line</option></select></label>\n");
    add_slider(page, "height", "Height", 0.3, 2.5, 0.05, usual.height_m);
    add_slider(page, "distance", "Distance", 2, 10, 0.25, usual.distance_m);
    add_slider(page, "angle", "Angle to the target line", -30, 90, 1, 0);
    swt_text_add(
        page,
        "<button type=\"button\" data-part=\"best\">Best place at this distance</button>\n"
        "<p class=\"all-across\" data-part=\"camera-words\" aria-live=\"polite\"></p></div>\n");
    swt_html_table_begin(
        page, "Depth of the hands in the swing chosen above, and what the camera makes of it",
        "wide", columns, sizeof columns / sizeof *columns);
    add_seen_rows(page, &camera, hands);
    swt_html_table_end(page);
    swt_text_add(page, "<p class=\"soft\">Angle 0 looks along the target line from behind, 90 deg "
                       "faces the player. Depth as seen is measured across the picture from a "
                       "plumb line through the toes, on the scale of things at the toes.</p>\n");
}

swt_status page_replay(swt_text *page, const swt_study *study, const swt_assessment *a,
                       const swt_assessed_player *p, const replay_group *group,
                       const page_picture *still, swt_error *err)
{
    size_t row[REPLAY_SWINGS_MOST], n;
    swt_vec3 hands[SWT_EVENT_COUNT];
    char name[600];
    swt_status rc = replay_choose(row, &n, study, a, p, err);

    if (rc != SWT_OK)
        return rc;
    swt_html_heading(page, 2, "replay", "The swing in space");
    if (n == 0) {
        swt_html_paragraph(page, NULL, "The study holds no landmarks of these swings.");
        return SWT_OK;
    }
    swt_text_add(page, "<div class=\"replay\">\n");
    if (still)
        rc = swt_html_figure(page, still->path, still->alt, still->alt, err);
    if (rc == SWT_OK)
        rc = swt_hands_at_events(hands, study, row[0], err);
    if (rc != SWT_OK)
        return rc;
    swt_text_add(page, "<div class=\"stage\"><canvas tabindex=\"0\" role=\"application\" "
                       "aria-label=\"Stick figure of the swing, with club, hand path and the "
                       "group's corridor; the words below tell its time and the hands' "
                       "place\"></canvas>\n<p data-part=\"words\" class=\"soft\"></p></div>\n");
    add_controls(page, study, row, n, p->n_swings, group->body != NULL, a->hand_path != NULL);
    if (study->swing[row[0]].side == SWT_LEFT_HANDED)
        swt_html_paragraph(page, "soft",
                           "A left-handed player is drawn as a right-handed one: mirrored.");
    add_camera(
        page, swt_study_swing_name(name, sizeof name, study, row[0]) + common_folder(study, row, n),
        hands);
    rc = replay_add_data(page, study, a, group, row, n, err);
    swt_text_add(page, "</div>\n");
    swt_html_script(page, SWT_HTML_SPACE);
    swt_html_script(page, SWT_HTML_REPLAY);
    return rc;
}
