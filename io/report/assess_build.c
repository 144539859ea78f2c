/* Who is reference and who is assessed; then step by step. */
#include "base/capture.h"
#include "comparison/kinds.h"
#include "io/report/assessment_parts.h"
#include "io/report/text.h"
#include "io/study/alike.h"
#include "io/study/selection.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Who is reference, and who may be assessed. */
typedef struct choice {
    bool *reference, *assessed; /* n_swings */
} choice;

static swt_status make_choice(choice *c, swt_assessment *a, const swt_study *study, swt_error *err)
{
    size_t n = 0;
    swt_status rc = swt_selection_choose(&c->reference, study, a->options.reference, err);

    if (rc == SWT_OK)
        rc = swt_selection_choose(&c->assessed, study, a->options.only, err);
    for (size_t i = 0; rc == SWT_OK && i < study->n_swings; i++) {
        bool left_out = study->swing[i].strike == SWT_PRACTICE && !a->options.with_practice;
        a->n_practice += left_out;
        c->assessed[i] = c->assessed[i] && !left_out && !(c->reference[i] && a->options.reference);
        c->reference[i] = c->reference[i] && !left_out && a->options.reference;
        n += c->reference[i];
    }
    if (rc == SWT_OK && a->options.reference && n == 0)
        rc = swt_fail(err, SWT_EDATA, "all swings of the group \"%.60s\" are practice swings",
                      a->options.group);
    return rc;
}

/* group = "tour", handicap <= 2, as the commands put together a group and further conditions, is
 * told as: tour, handicap <= 2. */
static void shorten_conditions(char *text)
{
    static const char before[] = "group = \"";
    char *name = text + strlen(before), *end;

    if (strncmp(text, before, strlen(before)) != 0 || !(end = strchr(name, '"')) || end[1] == '"')
        return;
    memmove(text, name, (size_t)(end - name));
    memmove(text + (end - name), end + 1, strlen(end + 1) + 1);
}

/* Names the reference: by the group's name, or by the conditions where these are all there is. */
static swt_status name_reference(swt_assessment *a, const swt_assessment_options *options,
                                 swt_error *err)
{
    char *group = NULL, *reference = NULL, *only = NULL;
    swt_status rc = SWT_OK;

    if (options->reference)
        rc = swt_string_set(&reference, options->reference, err);
    else if (options->group && !(reference = swt_selection_text("group", options->group, NULL)))
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    if (rc == SWT_OK && reference)
        rc = swt_string_set(&group, options->group ? options->group : reference, err);
    if (group && !options->group)
        shorten_conditions(group);
    if (rc == SWT_OK && options->only)
        rc = swt_string_set(&only, options->only, err);
    a->options = *options;
    a->options.group = group;
    a->options.reference = reference;
    a->options.only = only;
    return rc;
}

enum { CLUB_AND_SHOT = SWT_ALIKE_CLUB | SWT_ALIKE_SHOT };

/* The club and shot that most of the group's swings have. */
static swt_status choose_kind(swt_assessment *a, const swt_study *study, const bool *chosen,
                              swt_error *err)
{
    size_t *kind = calloc(study->n_swings + 1, sizeof *kind), row = 0;
    swt_status rc;

    if (!kind)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    swt_study_first_alike(kind, study, CLUB_AND_SHOT);
    rc = swt_commonest_kind(&row, kind, chosen, study->n_swings, err);
    if (rc == SWT_OK && row < study->n_swings) {
        a->club = study->swing[row].club;
        a->shot = study->swing[row].shot;
    }
    free(kind);
    return rc;
}

static bool is_reference_kind(const swt_assessment *a, const swt_study_swing *swing)
{
    return a->club && strcmp(swing->club, a->club) == 0 && strcmp(swing->shot, a->shot) == 0;
}

/* Rows of the reference group, and a number for each of its players. */
static swt_status find_reference(swt_assessment *a, const swt_study *study, const bool *chosen,
                                 swt_error *err)
{
    swt_status rc;

    a->reference = calloc(study->n_swings + 1, sizeof *a->reference);
    a->reference_player = calloc(study->n_swings + 1, sizeof *a->reference_player);
    if (!a->reference || !a->reference_player)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    rc = choose_kind(a, study, chosen, err);
    for (size_t i = 0; rc == SWT_OK && i < study->n_swings; i++) {
        int number = (int)a->n_reference_players;
        if (!chosen[i])
            continue;
        if (!is_reference_kind(a, &study->swing[i])) {
            a->n_reference_other++;
            continue;
        }
        for (size_t j = 0; j < a->n_reference; j++)
            if (swt_swings_alike(&study->swing[a->reference[j]], &study->swing[i],
                                 SWT_ALIKE_PLAYER)) {
                number = a->reference_player[j];
                break;
            }
        if (number == (int)a->n_reference_players)
            a->n_reference_players++;
        a->reference[a->n_reference] = i;
        a->reference_player[a->n_reference++] = number;
    }
    return rc;
}

/* Names a player by code, and by what sets these swings apart from the player's others. */
static void name_player(swt_assessment *a, const swt_study *study, swt_assessed_player *p)
{
    const swt_study_swing *own = &study->swing[a->swing[p->first].swing];
    bool session = false, club = false, shot = false;
    char part[3][48];

    for (size_t k = 0; k < a->n_swings; k++) {
        const swt_study_swing *other = &study->swing[a->swing[k].swing];
        if (strcmp(other->player, p->code) != 0)
            continue;
        session = session || strcmp(other->session, own->session) != 0;
        club = club || strcmp(other->club, own->club) != 0;
        shot = shot || strcmp(other->shot, own->shot) != 0;
    }
    session = session && *own->session;
    club = club && *own->club;
    shot = shot && *own->shot;
    swt_text_clean(part[0], sizeof part[0], session ? own->session : "", 20);
    swt_text_clean(part[1], sizeof part[1], club ? own->club : "", 20);
    swt_text_clean(part[2], sizeof part[2], shot ? own->shot : "", 20);
    snprintf(p->kind, sizeof p->kind, "%s%s%s%s%s%s", session ? "session " : "", part[0],
             session && club ? ", " : "", part[1], (session || club) && shot ? ", " : "", part[2]);
    snprintf(p->name, sizeof p->name, "%.150s%s%s", p->code, p->kind[0] ? ", " : "", p->kind);
}

/* The other swings as rows, gathered by player and kind. `room`: three for each swing. */
static swt_status gather(swt_assessment *a, size_t *room, swt_set *set, const swt_study *study,
                         const bool *chosen, swt_error *err)
{
    size_t n = study->n_swings, *row = room, *player = room + n, *kind = room + 2 * n;
    swt_status rc;

    swt_study_first_alike(player, study, SWT_ALIKE_PLAYER);
    swt_study_first_alike(kind, study, CLUB_AND_SHOT | SWT_ALIKE_SESSION);
    rc = swt_gather_sets(row, set, &a->n_players, chosen, player, kind, n, err);
    for (size_t k = 0; rc == SWT_OK && k < a->n_players; k++) {
        swt_assessed_player *p = &a->player[k];
        p->first = set[k].first;
        p->n_swings = set[k].n;
        p->code = study->swing[row[p->first]].player;
        p->alike = is_reference_kind(a, &study->swing[row[p->first]]);
        for (size_t i = 0; i < p->n_swings; i++)
            a->swing[a->n_swings++].swing = row[p->first + i];
    }
    return rc;
}

static swt_status find_assessed(swt_assessment *a, const swt_study *study, const bool *chosen,
                                swt_error *err)
{
    size_t n = study->n_swings;
    size_t *room = calloc(3 * n + 1, sizeof *room);
    swt_set *set = calloc(n + 1, sizeof *set);
    swt_status rc;

    a->swing = calloc(n + 1, sizeof *a->swing);
    a->player = calloc(n + 1, sizeof *a->player);
    if (room && set && a->swing && a->player)
        rc = gather(a, room, set, study, chosen, err);
    else
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    free(room);
    free(set);
    for (size_t k = 0; k < a->n_players; k++) {
        swt_assessed_player *p = &a->player[k];
        name_player(a, study, p);
        for (size_t j = 0; j < a->n_reference; j++)
            p->in_reference =
                p->in_reference || strcmp(study->swing[a->reference[j]].player, p->code) == 0;
    }
    return rc;
}

swt_status swt_assessment_build(swt_assessment **out, const swt_study *study,
                                const swt_assessment_options *options, swt_error *err)
{
    swt_assessment *a = calloc(1, sizeof *a);
    choice chosen = {0};
    swt_status rc = SWT_OK;

    *out = NULL;
    if (!a)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    rc = name_reference(a, options, err);
    if (rc == SWT_OK)
        rc = make_choice(&chosen, a, study, err);
    if (rc == SWT_OK)
        rc = find_reference(a, study, chosen.reference, err);
    if (rc == SWT_OK)
        rc = find_assessed(a, study, chosen.assessed, err);
    if (rc == SWT_OK)
        rc = assess_corridors(a, study, err);
    if (rc == SWT_OK)
        rc = assess_group(a, study, err);
    if (rc == SWT_OK)
        rc = assess_swings(a, study, err);
    if (rc == SWT_OK)
        rc = assess_scores(a, study, err);
    if (rc == SWT_OK)
        rc = assess_beside(a, study, err);
    free(chosen.reference);
    free(chosen.assessed);
    if (rc == SWT_OK)
        *out = a;
    else
        swt_assessment_free(a);
    return rc;
}
