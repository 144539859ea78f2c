#include "io/report/gnuplot.h"
#include "io/files.h"
#include "io/report/text.h"

#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <poll.h>
#include <pthread.h>
#include <signal.h>
#include <spawn.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

extern char **environ;

typedef struct picture {
    char path[4096];
    char temporary[4160];
} picture;

struct swt_plot {
    swt_text script;
    swt_plot_canvas canvas;
    int n_data;
    size_t begin; /* of the last picture in the script */
    size_t n_pictures;
    picture *picture;
    double patience_s;
};

enum { MOST_WORDS = 1 << 20 /* bytes of messages; gnuplot writes none when all is well */ };

/* A gnuplot at work. */
typedef struct session {
    pid_t child;
    int input;                  /* the pipe to it                          */
    FILE *words;                /* what it says                            */
    double patience_s, moved_s; /* when it last took a part of the script */
    bool hangs, babbles;        /* why it was stopped                     */
} session;

swt_status swt_plot_new(swt_plot **out, swt_error *err)
{
    *out = calloc(1, sizeof **out);
    if (!*out)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    (*out)->patience_s = 60;
    swt_text_add(&(*out)->script, "set encoding utf8\n");
    return SWT_OK;
}

void swt_plot_discard(swt_plot *plot)
{
    if (!plot)
        return;
    for (size_t i = 0; i < plot->n_pictures; i++)
        unlink(plot->picture[i].temporary);
    free(plot->picture);
    swt_text_reset(&plot->script);
    free(plot);
}

void swt_plot_set_patience(swt_plot *plot, double patience_s)
{
    plot->patience_s = patience_s;
}

const char *swt_plot_extension(swt_plot_format format)
{
    return format == SWT_PLOT_SVG ? "svg" : format == SWT_PLOT_PDF ? "pdf" : "png";
}

void swt_plot_add(swt_plot *plot, const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    swt_text_add_list(&plot->script, format, arguments);
    va_end(arguments);
}

/* Letters, digits and a few signs stand for themselves between double quotes; a backtick would
 * start a command there, a backslash an escape, a percent sign a number in a tic label. A digit
 * after an escape is escaped too, since gnuplot reads it as part of the octal number. */
static void add_literal(swt_plot *plot, const char *bytes)
{
    static const char plain[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
                                "0123456789 .,:;()+-=/_";
    bool escaped = false;

    swt_plot_add(plot, "\"");
    for (const unsigned char *s = (const unsigned char *)bytes; *s; s++) {
        escaped = !strchr(plain, *s) || (escaped && *s >= '0' && *s <= '9');
        if (escaped)
            swt_plot_add(plot, "\\%03o", (unsigned)*s);
        else
            swt_text_put(&plot->script, (const char *)s, 1);
    }
    swt_plot_add(plot, "\"");
}

/* Lines and points grow with the text, so that a slide is a large column and not a thin one. */
static void add_terminal(swt_plot *plot, swt_plot_format format)
{
    const swt_plot_canvas *c = &plot->canvas;
    double font = c->font * c->font_per_unit, weight = c->font / 10;

    switch (format) {
    case SWT_PLOT_SVG:
        swt_plot_add(plot,
                     "set terminal svg noenhanced size %.0f,%.0f font 'sans-serif,%.1f' "
                     "linewidth %.2f background '#ffffff' butt\n",
                     c->width, c->height, font, weight);
        break;
    case SWT_PLOT_PDF: /* 72 points to the inch, 96 canvas units */
        swt_plot_add(plot,
                     "set terminal pdfcairo noenhanced size %.4fin,%.4fin font 'sans-serif,%.1f' "
                     "fontscale 1 linewidth %.2f pointscale %.2f background '#ffffff' butt\n",
                     c->width / 96, c->height / 96, font, 4 * weight / 3, weight);
        break;
    case SWT_PLOT_PNG: /* twice the canvas: sharp on a screen of high density */
        swt_plot_add(plot,
                     "set terminal pngcairo noenhanced size %.0f,%.0f font 'sans-serif,%.1f' "
                     "fontscale 2 linewidth %.2f pointscale %.2f background '#ffffff' butt\n",
                     2 * c->width, 2 * c->height, font, 2 * weight, 2 * weight);
        break;
    }
}

swt_status swt_plot_picture(swt_plot *plot, const char *path, swt_plot_format format,
                            swt_plot_size size, double height_ratio, swt_error *err)
{
    static const struct {
        double width_mm, font_pt;
    } sizes[] = {
        [SWT_PLOT_COLUMN] = {85, 7.5}, [SWT_PLOT_PAGE] = {175, 9}, [SWT_PLOT_SLIDE] = {254, 16}};
    picture *more;
    picture *new;

    if (!(height_ratio > 0.05 && height_ratio < 20))
        return swt_fail(err, SWT_EARG, "%s: a picture of height %g times its width", path,
                        height_ratio);
    if (strlen(path) >= sizeof new->path)
        return swt_fail(err, SWT_EIO, "%.200s...: the path is too long", path);
    more = realloc(plot->picture, (plot->n_pictures + 1) * sizeof *more);
    if (!more)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    plot->picture = more;
    new = &more[plot->n_pictures];
    snprintf(new->path, sizeof new->path, "%s", path);
    /* gnuplot takes an output that begins with '|' for a command */
    snprintf(new->temporary, sizeof new->temporary, "%s%s.%ld.tmp", path[0] == '|' ? "./" : "",
             path, (long)getpid());
    plot->n_pictures++;

    plot->canvas.width = round(sizes[size].width_mm / 25.4 * 96);
    plot->canvas.height = round(plot->canvas.width * height_ratio);
    plot->canvas.font = sizes[size].font_pt * 96 / 72;
    /* svg takes canvas units and png points; pdf draws 4/3 of what it is given (measured) */
    plot->canvas.font_per_unit = format == SWT_PLOT_SVG   ? 1
                                 : format == SWT_PLOT_PNG ? 0.75
                                                          : 0.5625;
    plot->n_data = 0;
    plot->begin = plot->script.length;
    swt_plot_add(plot, "reset session\n");
    add_terminal(plot, format);
    swt_plot_add(plot, "set output ");
    add_literal(plot, new->temporary);
    swt_plot_add(plot, "\n");
    return SWT_OK;
}

void swt_plot_drop_picture(swt_plot *plot)
{
    if (plot->n_pictures == 0)
        return;
    plot->n_pictures--;
    plot->script.length = plot->begin;
    plot->script.bytes[plot->begin] = '\0';
}

swt_plot_canvas swt_plot_get_canvas(const swt_plot *plot)
{
    return plot->canvas;
}

void swt_plot_quote(swt_plot *plot, const char *text, size_t most)
{
    char clean[1024];

    swt_text_clean(clean, sizeof clean, text, most);
    /* the svg terminal writes '>' as it is, and XML allows no "]]>" in text */
    for (char *end = strstr(clean, "]]>"); end; end = strstr(end, "]]>"))
        end[2] = ' ';
    add_literal(plot, clean);
}

int swt_plot_data(swt_plot *plot, size_t n, size_t n_columns, const double *const *column)
{
    int number = plot->n_data++;

    swt_plot_add(plot, "$d%d << E\n", number);
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j < n_columns; j++)
            if (isfinite(column[j][i]))
                swt_plot_add(plot, j ? " %.7g" : "%.7g", column[j][i]);
            else
                swt_plot_add(plot, j ? " NaN" : "NaN");
        swt_plot_add(plot, "\n");
    }
    swt_plot_add(plot, "E\n");
    return number;
}

const char *swt_plot_script(const swt_plot *plot)
{
    return plot->script.bytes ? plot->script.bytes : "";
}

static swt_status save_script(const swt_plot *plot, const char *path, swt_error *err)
{
    swt_file_draft draft;

    if (swt_draft_open(&draft, path, err) != SWT_OK)
        return SWT_EIO;
    fwrite(plot->script.bytes, 1, plot->script.length, draft.stream);
    return swt_draft_commit(&draft, err);
}

static swt_status not_installed(swt_error *err)
{
    return swt_fail(err, SWT_EIO,
                    "gnuplot was not found on the PATH, so no figure was drawn; install it "
                    "(Debian and Ubuntu: apt install gnuplot-nox; macOS: brew install gnuplot)");
}

static double now_s(void)
{
    struct timespec t;

    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* False: it has done nothing for too long, or talks without end, and is stopped. */
static bool still_works(session *s)
{
    struct stat said;

    s->babbles = s->babbles || (fstat(fileno(s->words), &said) == 0 && said.st_size > MOST_WORDS);
    s->hangs = s->hangs || now_s() - s->moved_s > s->patience_s;
    if (!s->babbles && !s->hangs)
        return true;
    kill(-s->child, SIGKILL); /* and what a wrapper of gnuplot started */
    return false;
}

/* Waits a moment for room in the pipe, then writes what goes in. */
static bool write_some(session *s, const char **bytes, size_t *size)
{
    struct pollfd room = {.fd = s->input, .events = POLLOUT};
    ssize_t n = 0;

    if (poll(&room, 1, 100) > 0)
        n = write(s->input, *bytes, *size);
    if (n < 0 && errno != EINTR && errno != EAGAIN)
        return false;
    if (n > 0) {
        *bytes += n;
        *size -= (size_t)n;
        s->moved_s = now_s();
    }
    return still_works(s);
}

/* Writes all to a pipe whose reader may be gone: EPIPE, never the signal. */
static bool write_all(session *s, const char *bytes, size_t size)
{
    sigset_t pipe_only, before, pending;
    bool ok = true;

    sigemptyset(&pipe_only);
    sigaddset(&pipe_only, SIGPIPE);
    pthread_sigmask(SIG_BLOCK, &pipe_only, &before);
    while (ok && size > 0)
        ok = write_some(s, &bytes, &size);
    if (!ok && !sigismember(&before, SIGPIPE) && sigpending(&pending) == 0 &&
        sigismember(&pending, SIGPIPE)) {
        int taken;
        sigwait(&pipe_only, &taken);
    }
    pthread_sigmask(SIG_SETMASK, &before, NULL);
    return ok;
}

/* Until it has ended, by itself or by us. */
static int wait_for(session *s)
{
    const struct timespec moment = {.tv_nsec = 2000000};
    int status = 0;

    for (;;) {
        pid_t ended = waitpid(s->child, &status, WNOHANG);
        if (ended == s->child || (ended < 0 && errno != EINTR))
            return status;
        still_works(s);
        nanosleep(&moment, NULL);
    }
}

/* Starts gnuplot without its user's settings; its words go to `words`. */
static swt_status start(session *s, swt_error *err)
{
    char name[] = "gnuplot", defaults[] = "--default-settings";
    char *argument[] = {name, defaults, NULL};
    posix_spawn_file_actions_t actions;
    posix_spawnattr_t attributes;
    int ends[2], code;

    if (pipe(ends) != 0)
        return swt_fail(err, SWT_EIO, "no pipe to gnuplot: %s", strerror(errno));
    fcntl(ends[0], F_SETFD, FD_CLOEXEC);
    fcntl(ends[1], F_SETFD, FD_CLOEXEC);
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_adddup2(&actions, ends[0], 0);
    posix_spawn_file_actions_adddup2(&actions, fileno(s->words), 1);
    posix_spawn_file_actions_adddup2(&actions, fileno(s->words), 2);
    posix_spawnattr_init(&attributes);
    posix_spawnattr_setflags(&attributes,
                             POSIX_SPAWN_SETPGROUP); /* its own group, to be ended whole */
    code = posix_spawnp(&s->child, name, &actions, &attributes, argument, environ);
    posix_spawnattr_destroy(&attributes);
    posix_spawn_file_actions_destroy(&actions);
    close(ends[0]);
    if (code != 0) {
        close(ends[1]);
        if (code == ENOENT)
            return not_installed(err);
        return swt_fail(err, SWT_EIO, "gnuplot could not be started: %s", strerror(code));
    }
    fcntl(ends[1], F_SETFL, O_NONBLOCK);
    s->input = ends[1];
    s->moved_s = now_s();
    return SWT_OK;
}

/* The last words of a failed gnuplot, on one line. */
static void last_words(char *out, size_t size, FILE *words)
{
    long end;
    size_t n;

    fflush(words);
    fseek(words, 0, SEEK_END);
    end = ftell(words);
    fseek(words, end > (long)size - 1 ? end - (long)size + 1 : 0, SEEK_SET);
    n = fread(out, 1, size - 1, words);
    out[n] = '\0';
    for (size_t i = 0; i < n; i++)
        if ((unsigned char)out[i] < 0x20)
            out[i] = ' ';
}

static swt_status run(const swt_plot *plot, swt_error *err)
{
    session s = {.words = tmpfile(), .input = -1, .patience_s = plot->patience_s};
    char said[300];
    int status;
    bool sent;
    swt_status rc;

    if (!s.words)
        return swt_fail(err, SWT_EIO, "no temporary file for gnuplot's messages: %s",
                        strerror(errno));
    rc = start(&s, err);
    if (rc != SWT_OK)
        goto done;
    sent = write_all(&s, plot->script.bytes, plot->script.length);
    close(s.input);
    s.moved_s = now_s();
    status = wait_for(&s);
    last_words(said, sizeof said, s.words);
    if (WIFEXITED(status) && WEXITSTATUS(status) == 127)
        rc = not_installed(err);
    else if (s.hangs && WIFSIGNALED(status))
        rc = swt_fail(err, SWT_EIO,
                      "gnuplot did nothing for %.3g s and was stopped; does `gnuplot --version` "
                      "answer?",
                      s.patience_s);
    else if (s.babbles && WIFSIGNALED(status))
        rc = swt_fail(err, SWT_EIO,
                      "gnuplot wrote messages without end and was stopped; the last: %s", said);
    else if (WIFSIGNALED(status))
        rc = swt_fail(err, SWT_EIO, "gnuplot was stopped by signal %d", WTERMSIG(status));
    else if (!WIFEXITED(status) || WEXITSTATUS(status) != 0 || !sent)
        rc = swt_fail(err, SWT_EIO, "gnuplot stopped with exit code %d: %s", WEXITSTATUS(status),
                      said[0] ? said : "it said nothing");
done:
    fclose(s.words);
    return rc;
}

static swt_status publish(swt_plot *plot, swt_error *err)
{
    struct stat facts;

    for (size_t i = 0; i < plot->n_pictures; i++)
        if (stat(plot->picture[i].temporary, &facts) != 0 || facts.st_size == 0)
            return swt_fail(err, SWT_EIO,
                            "%s: gnuplot wrote no picture; is the folder writable, "
                            "and does this gnuplot have the svg and cairo terminals?",
                            plot->picture[i].path);
    for (size_t i = 0; i < plot->n_pictures; i++)
        if (rename(plot->picture[i].temporary, plot->picture[i].path) != 0)
            return swt_fail(err, SWT_EIO, "%s: %s", plot->picture[i].path, strerror(errno));
    return SWT_OK;
}

swt_status swt_plot_draw(swt_plot *plot, const char *keep_script, swt_error *err)
{
    swt_status rc;

    swt_plot_add(plot, "set output\nexit\n");
    rc = swt_text_check(&plot->script, err);
    if (rc == SWT_OK && keep_script)
        rc = save_script(plot, keep_script, err);
    if (rc == SWT_OK)
        rc = run(plot, err);
    if (rc == SWT_OK)
        rc = publish(plot, err);
    swt_plot_discard(plot);
    return rc;
}
