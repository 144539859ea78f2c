/* Labels beside points: each takes the free place nearest its point. */
#include "io/report/figure_parts.h"

#include <math.h>

typedef struct area {
    double x0, y0, x1, y1;
} area;

enum { LABELS_MOST = 16 };

static double overlap(area a, area b)
{
    double w = fmin(a.x1, b.x1) - fmax(a.x0, b.x0), h = fmin(a.y1, b.y1) - fmax(a.y0, b.y0);

    return w > 0 && h > 0 ? w * h : 0;
}

static double outside(area a, const figure_box *box)
{
    return fmax(0, box->left - a.x0) + fmax(0, a.x1 - box->right) + fmax(0, box->bottom - a.y0) +
           fmax(0, a.y1 - box->top);
}

/* What a place costs: leaving the box and covering labels and points most, lines less. */
static double cost_of(area a, const figure_box *box, const area *taken, size_t n_taken,
                      const figure_label *label, size_t n_label, const double *line, size_t n_line,
                      double font)
{
    double cost = 1000 * outside(a, box);

    for (size_t i = 0; i < n_taken; i++)
        cost += 30 * overlap(a, taken[i]) / font;
    for (size_t i = 0; i < n_label; i++) {
        area point = {label[i].x - 0.5 * font, label[i].y - 0.5 * font, label[i].x + 0.5 * font,
                      label[i].y + 0.5 * font};
        cost += 20 * overlap(a, point) / font;
    }
    for (size_t i = 0; i < n_line; i++)
        if (line[2 * i] > a.x0 && line[2 * i] < a.x1 && line[2 * i + 1] > a.y0 &&
            line[2 * i + 1] < a.y1)
            cost += 12;
    return cost;
}

void figure_place_labels(swt_plot *plot, const figure_box *box, const figure_label *label, size_t n,
                         const double *line, size_t n_line)
{
    swt_plot_canvas c = swt_plot_get_canvas(plot);
    double font = 0.92 * c.font, half = 0.62 * font;
    area taken[LABELS_MOST];
    size_t n_taken = 0;

    for (size_t i = 0; i < n && n_taken < LABELS_MOST; i++) {
        double width = figure_text_width(label[i].text, font), best = HUGE_VAL;
        area place = {0};
        double way_out = 0;
        for (int ring = 0; ring < 5; ring++)
            for (int k = 0; k < 16; k++) {
                double angle = k * SWT_PI / 8, reach = (0.9 + 0.9 * ring) * font;
                double cx = label[i].x + reach * cos(angle), cy = label[i].y + reach * sin(angle);
                double mid = cx + cos(angle) * width / 2;
                area a = {mid - width / 2, cy - half, mid + width / 2, cy + half};
                double cost = cost_of(a, box, taken, n_taken, label, n, line, n_line, font) +
                              6.0 * ring + 3 * fabs(sin(angle));
                if (cost < best) {
                    best = cost;
                    place = a;
                    way_out = reach;
                }
            }
        taken[n_taken++] = place;
        if (way_out > 1.5 * font) { /* far from its point: lead the eye */
            double tx = fmin(fmax(label[i].x, place.x0), place.x1);
            double ty = fmin(fmax(label[i].y, place.y0), place.y1);
            swt_plot_add(plot,
                         "set arrow from screen %.4f,%.4f to screen %.4f,%.4f nohead "
                         "lw 0.6 lc rgb '" MUTED "' front\n",
                         label[i].x / c.width, label[i].y / c.height, tx / c.width, ty / c.height);
        }
        swt_plot_add(plot, "set label ");
        swt_plot_quote(plot, label[i].text, 40);
        swt_plot_add(plot,
                     " at screen %.4f,%.4f center font ',%.2f' textcolor rgb '" INK "' front\n",
                     (place.x0 + place.x1) / 2 / c.width, (place.y0 + place.y1) / 2 / c.height,
                     font * c.font_per_unit);
    }
}
