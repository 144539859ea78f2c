/* swathe: finds the command, makes the libraries quiet, checks that the results got out. */
#include "cli/cli.h"

#include <errno.h>
#include <fcntl.h>
#include <gsl/gsl_errno.h>
#include <hdf5.h>
#ifdef __GLIBC__
#include <malloc.h>
#endif
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const swt_cli_command *find(const char *name)
{
    for (const swt_cli_command *c = swt_cli_commands; c->name; c++)
        if (strcmp(c->name, name) == 0)
            return c;
    return NULL;
}

static int run(const swt_cli_command *command, int argc, char **argv)
{
    char name[64];

    snprintf(name, sizeof name, "swathe %s", command->name);
    argv[0] = name;
    return command->run(command, argc, argv);
}

static int help(int argc, char **argv)
{
    const swt_cli_command *command;
    const char *nearest;
    char word[] = "--help";
    char *page[] = {NULL, word, NULL};

    if (argc < 2) {
        swt_cli_help_overview();
        return SWT_EXIT_ALL_DONE;
    }
    if (swt_cli_help_topic(argv[1]))
        return SWT_EXIT_ALL_DONE;
    command = find(argv[1]);
    if (command)
        return run(command, 2, page);
    nearest = swt_cli_nearest_topic(argv[1]);
    fprintf(stderr,
            "swathe help: there is no command, topic or measure '%s'%s%s%s (see: swathe help)\n",
            argv[1], nearest ? "; did you mean '" : "", nearest ? nearest : "",
            nearest ? "'?" : "");
    return SWT_EXIT_USAGE;
}

static int dispatch(int argc, char **argv)
{
    const swt_cli_command *command;
    const char *nearest;

    if (argc < 2) {
        fprintf(stderr, "swathe: a command is missing (see: swathe help)\n");
        return SWT_EXIT_USAGE;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0) {
        swt_cli_help_overview();
        return SWT_EXIT_ALL_DONE;
    }
    if (strcmp(argv[1], "--version") == 0) {
        printf("swathe %s\n", SWT_VERSION);
        return SWT_EXIT_ALL_DONE;
    }
    if (strcmp(argv[1], "help") == 0)
        return help(argc - 1, argv + 1);
    command = find(argv[1]);
    if (!command) {
        nearest = swt_cli_nearest_command(argv[1]);
        fprintf(stderr, "swathe: there is no command '%s'%s%s%s (see: swathe help)\n", argv[1],
                nearest ? "; did you mean '" : "", nearest ? nearest : "", nearest ? "'?" : "");
        return SWT_EXIT_USAGE;
    }
    return run(command, argc - 1, argv + 1);
}

/* Started with a standard stream closed, the first file opened would take its number, and words for
 * a person would land in a study. Opened for reading only, so that results still cannot vanish. */
static void fill_standard_streams(void)
{
    int fd;

    do
        fd = open("/dev/null", O_RDONLY);
    while (fd >= 0 && fd <= STDERR_FILENO);
    if (fd >= 0)
        close(fd);
}

/* Blocks of some MB, of which every capture takes a dozen, stay with the program: handed back and
 * asked for again, the system clears each page anew. */
static void keep_memory(void)
{
#ifdef __GLIBC__
    mallopt(M_MMAP_THRESHOLD, 32 << 20);
    mallopt(M_TRIM_THRESHOLD, 256 << 20);
#endif
}

int main(int argc, char **argv)
{
    struct stat out;
    int code;
    bool lost, is_pipe;

    fill_standard_streams();
    keep_memory();
    gsl_set_error_handler_off();
    /* Every study is closed where it was opened. What HDF5 would close at exit is a file that a
     * full disk did not let it close, and there it crashes (seen in 1.10.8). First, or it has no
     * effect. */
    H5dont_atexit();
    H5Eset_auto2(H5E_DEFAULT, NULL, NULL);
    signal(SIGPIPE, SIG_IGN); /* gnuplot that dies is our message, not our death */
    code = dispatch(argc, argv);
    /* results that did not reach their reader are not done, whatever the command thinks */
    errno = 0;
    is_pipe = fstat(STDOUT_FILENO, &out) == 0 && S_ISFIFO(out.st_mode);
    lost = ferror(stdout) != 0;
    lost = fclose(stdout) != 0 || lost;
    if (lost && is_pipe)
        return code; /* its reader has read enough: `swathe inspect ... | head` */
    if (lost) {
        fprintf(stderr, "swathe: the results could not be written to standard output%s%s\n",
                errno ? ": " : "", errno ? strerror(errno) : "");
        return SWT_EXIT_NO_OUTPUT;
    }
    return code;
}
