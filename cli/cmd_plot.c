/* swathe plot: one measure of some swings as one figure. */
#include "cli/assess.h"
#include "cli/commands.h"
#include "io/report/plot.h"
#include "io/study/selection.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The format is the file's ending. */
static bool find_format(swt_plot_format *format, const char *path)
{
    const char *dot = strrchr(path, '.');

    for (int f = SWT_PLOT_SVG; dot && f <= SWT_PLOT_PNG; f++)
        if (strcmp(dot + 1, swt_plot_extension((swt_plot_format)f)) == 0) {
            *format = (swt_plot_format)f;
            return true;
        }
    return false;
}

static bool find_size(swt_plot_size *size, const char *word)
{
    static const char *const words[] = {
        [SWT_PLOT_COLUMN] = "column", [SWT_PLOT_PAGE] = "page", [SWT_PLOT_SLIDE] = "slide"};

    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strcmp(word, words[i]) == 0) {
            *size = (swt_plot_size)i;
            return true;
        }
    return false;
}

static int draw(const swt_cli_command *self, const char *path, const char *measure,
                const char *conditions, const char *name, const char *output,
                swt_plot_format format, swt_plot_size size, const char *script)
{
    swt_study *study = NULL;
    swt_assessment *assessment = NULL;
    bool *chosen = NULL;
    swt_error err = SWT_ERROR_INIT;
    int code = swt_cli_open_measured(&study, self, path);

    if (code == SWT_CLI_GO_ON)
        code = swt_cli_assess_named_or_alone(&assessment, self, study, name, NULL);
    if (code == SWT_CLI_GO_ON) {
        swt_status rc = swt_selection_choose(&chosen, study, conditions, &err);
        const swt_plot_request request = {.measure = measure,
                                          .selection = conditions,
                                          .chosen = chosen,
                                          .format = format,
                                          .size = size};
        if (rc == SWT_OK)
            rc = swt_report_plot(output, study, assessment, &request, script, &err);
        if (rc == SWT_OK) {
            printf("figure: %s\n", output);
            code = SWT_EXIT_ALL_DONE;
        } else {
            code = swt_cli_fail(self,
                                rc == SWT_EARG    ? SWT_EXIT_USAGE
                                : rc == SWT_EDATA ? SWT_EXIT_NO_INPUT
                                                  : SWT_EXIT_NO_OUTPUT,
                                "%s", err.msg);
        }
    }
    free(chosen);
    swt_assessment_free(assessment);
    swt_study_close(study);
    return code;
}

int swt_cmd_plot(const swt_cli_command *self, int argc, char **argv)
{
    char *output = NULL, *size_word = NULL, *only = NULL, *name = NULL, *script = NULL;
    const struct poptOption options[] = {
        {"output", 'o', POPT_ARG_STRING, &output, 0, "the figure: .svg, .pdf or .png (required)",
         "FILE"},
        SWT_CLI_ONLY(only),
        {"size", 's', POPT_ARG_STRING, &size_word, 0,
         "width of the figure: column, page or slide [column]", "SIZE"},
        SWT_CLI_CORRIDOR_NAME(name),
        {"keep-script", '\0', POPT_ARG_STRING, &script, 0,
         "also write the gnuplot script that draws it to FILE", "FILE"},
        POPT_TABLEEND,
    };
    swt_plot_format format = SWT_PLOT_SVG;
    swt_plot_size size = SWT_PLOT_COLUMN;
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 2, 2);

    if (code == SWT_CLI_GO_ON && !output)
        code = swt_cli_usage(self, "--output is missing");
    if (code == SWT_CLI_GO_ON && !find_format(&format, output))
        code = swt_cli_usage(self, "--output %s: the name must end in .svg, .pdf or .png", output);
    if (code == SWT_CLI_GO_ON && size_word && !find_size(&size, size_word))
        code = swt_cli_usage(self, "--size %s: page, column or slide", size_word);
    if (code == SWT_CLI_GO_ON)
        code =
            draw(self, line.operand[0], line.operand[1], only, name, output, format, size, script);
    swt_cli_end(&line);
    return code;
}
