#include "io/study/alike.h"

#include <string.h>

bool swt_swings_alike(const swt_study_swing *a, const swt_study_swing *b, unsigned in)
{
    return (!(in & SWT_ALIKE_PLAYER) || strcmp(a->player, b->player) == 0) &&
           (!(in & SWT_ALIKE_SESSION) || strcmp(a->session, b->session) == 0) &&
           (!(in & SWT_ALIKE_CLUB) || strcmp(a->club, b->club) == 0) &&
           (!(in & SWT_ALIKE_SHOT) || strcmp(a->shot, b->shot) == 0);
}

void swt_study_first_alike(size_t *row, const swt_study *study, unsigned in)
{
    for (size_t i = 0; i < study->n_swings; i++) {
        row[i] = 0;
        while (row[i] < i && !swt_swings_alike(&study->swing[row[i]], &study->swing[i], in))
            row[i]++;
    }
}
