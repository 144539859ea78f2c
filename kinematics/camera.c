#include "kinematics/camera.h"

typedef struct camera_axes {
    swt_vec3 centre, forward, right, up;
} camera_axes;

swt_vec3 swt_camera_position(const swt_camera *camera)
{
    return swt_vec3_make(camera->aim.x - camera->distance_m * cos(camera->angle_rad),
                         camera->aim.y - camera->distance_m * sin(camera->angle_rad),
                         camera->height_m);
}

static camera_axes find_axes(const swt_camera *camera)
{
    camera_axes a = {.centre = swt_camera_position(camera)};

    a.forward = swt_direction(swt_sub(camera->aim, a.centre));
    a.right = swt_direction(swt_cross(a.forward, swt_vec3_make(0, 0, 1)));
    a.up = swt_cross(a.right, a.forward);
    return a;
}

static void project(double *across, double *up, const camera_axes *a, swt_vec3 point)
{
    swt_vec3 d = swt_sub(point, a->centre);
    double away = swt_dot(d, a->forward);

    *across = away > 0 ? swt_dot(d, a->right) / away : nan("");
    *up = away > 0 ? swt_dot(d, a->up) / away : nan("");
}

void swt_camera_project(double *across, double *up, const swt_camera *camera, swt_vec3 point)
{
    camera_axes a = find_axes(camera);

    project(across, up, &a, point);
}

static double apparent_depth(const camera_axes *a, swt_vec3 point)
{
    swt_vec3 toes = swt_vec3_make(0, 0, 0);
    double of_toes, of_point, up;

    project(&of_toes, &up, a, toes);
    project(&of_point, &up, a, point);
    return swt_dot(swt_sub(toes, a->centre), a->forward) * (of_toes - of_point);
}

double swt_camera_apparent_depth(const swt_camera *camera, swt_vec3 point)
{
    camera_axes a = find_axes(camera);

    return apparent_depth(&a, point);
}

double swt_camera_worst_error(const swt_camera *camera, const swt_vec3 *point, size_t n)
{
    camera_axes a = find_axes(camera);
    double worst = nan("");

    for (size_t i = 0; i < n; i++) /* fmax passes NaN over */
        worst = fmax(worst, fabs(apparent_depth(&a, point[i]) - point[i].y));
    return worst;
}

double swt_camera_best_place(swt_camera *best, const swt_camera *camera, const swt_vec3 *point,
                             size_t n)
{
    enum { LOWEST_CM = 50, HIGHEST_CM = 180, STEP_CM = 5, WIDEST_DEG = 30 };
    double least = nan("");

    *best = *camera;
    for (int angle = -WIDEST_DEG; angle <= WIDEST_DEG; angle++)
        for (int height = LOWEST_CM; height <= HIGHEST_CM; height += STEP_CM) {
            swt_camera at = *camera;
            double worst;
            at.angle_rad = SWT_RADIANS((double)angle);
            at.height_m = height / 100.0;
            worst = swt_camera_worst_error(&at, point, n);
            if (worst < least || (isnan(least) && isfinite(worst))) {
                least = worst;
                *best = at;
            }
        }
    return least;
}
