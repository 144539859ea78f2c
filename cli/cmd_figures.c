/* swathe figures: the figures as files, for a paper or a slide. */
#include "cli/assess.h"
#include "cli/commands.h"
#include "io/report/report.h"

#include <stdio.h>

/** Assesses against the corridors of that name; without a name and without corridors, the swings
 *  alone. */
static int draw(const swt_cli_command *self, const char *path, const char *name, const char *only,
                const char *folder, swt_plot_format format, swt_plot_size size, const char *scripts)
{
    swt_study *study = NULL;
    swt_assessment *assessment = NULL;
    swt_error err = SWT_ERROR_INIT;
    int code = swt_cli_open_measured(&study, self, path);

    if (code == SWT_CLI_GO_ON)
        code = swt_cli_assess_named_or_alone(&assessment, self, study, name, only);
    if (code == SWT_CLI_GO_ON) {
        code = SWT_EXIT_ALL_DONE;
        if (swt_report_draw_figures(folder, study, assessment, format, size, scripts, &err) !=
            SWT_OK)
            code = swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
        else
            printf("figures: %s\n", folder);
    }
    swt_assessment_free(assessment);
    swt_study_close(study);
    return code;
}

int swt_cmd_figures(const swt_cli_command *self, int argc, char **argv)
{
    static const char *const formats[] = {"svg", "pdf", "png", NULL}; /* as swt_plot_format */
    static const char *const sizes[] = {"page", "column", "slide", NULL};
    static const swt_plot_size size_of[] = {SWT_PLOT_PAGE, SWT_PLOT_COLUMN, SWT_PLOT_SLIDE};
    static const swt_plot_format format_of[] = {SWT_PLOT_SVG, SWT_PLOT_PDF, SWT_PLOT_PNG};
    char *folder = NULL, *name = NULL, *scripts = NULL, *format = NULL, *size = NULL, *only = NULL;
    const struct poptOption options[] = {
        {"output", 'o', POPT_ARG_STRING, &folder, 0, "folder for the figures (required)", "FOLDER"},
        {"format", 'f', POPT_ARG_STRING, &format, 0, "svg, pdf or png [svg]", "FORMAT"},
        {"size", 's', POPT_ARG_STRING, &size, 0, "page, column or slide [page]", "SIZE"},
        SWT_CLI_CORRIDOR_NAME(name),
        SWT_CLI_ONLY(only),
        {"keep-script", '\0', POPT_ARG_STRING, &scripts, 0, "keep the gnuplot scripts there",
         "FOLDER"},
        POPT_TABLEEND,
    };
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, 1);

    if (code == SWT_CLI_GO_ON && !folder)
        code = swt_cli_usage(self, "--output is missing");
    if (code == SWT_CLI_GO_ON && swt_cli_find_word(format, formats) < 0)
        code = swt_cli_usage(self, "--format %s: svg, pdf or png", format);
    if (code == SWT_CLI_GO_ON && swt_cli_find_word(size, sizes) < 0)
        code = swt_cli_usage(self, "--size %s: page, column or slide", size);
    if (code == SWT_CLI_GO_ON)
        code = draw(self, line.operand[0], name, only, folder,
                    format_of[swt_cli_find_word(format, formats)],
                    size_of[swt_cli_find_word(size, sizes)], scripts);
    swt_cli_end(&line);
    return code;
}
