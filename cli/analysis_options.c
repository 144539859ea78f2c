#include "cli/analysis_options.h"

#include "kinematics/uncertainty.h"

int swt_cli_check_range(const swt_cli_command *command, const char *option, double value,
                        double low, double high)
{
    if (value >= low && value <= high) /* false for NaN */
        return SWT_CLI_GO_ON;
    return swt_cli_usage(command, "--%s is %g, and must be between %g and %g", option, value, low,
                         high);
}

int swt_cli_check_analysis(const swt_cli_command *command, const swt_analysis_options *options)
{
    const struct {
        const char *name;
        double value, low, high;
    } rows[] = {
        {"cutoff", options->cutoff_hz, 0, 1000},
        {"spline-gap", options->max_spline_gap_s, 0, 1},
        {"rigid-gap", options->max_rigid_gap_s, 0, 10},
        {"onset-speed", options->onset_speed_m_s, 0.001, 5},
        {"finish-speed", options->finish_speed_m_s, 0.001, 5},
        {"replicates", (double)options->uncertainty_replicates, 0, SWT_REPLICATES_MAX},
    };

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        int code =
            swt_cli_check_range(command, rows[i].name, rows[i].value, rows[i].low, rows[i].high);
        if (code != SWT_CLI_GO_ON)
            return code;
    }
    if (options->uncertainty_replicates > 0 && options->uncertainty_replicates < SWT_REPLICATES_MIN)
        return swt_cli_usage(command,
                             "--replicates is %ld, too few for an uncertainty: 0 for none, or %d "
                             "and more",
                             options->uncertainty_replicates, SWT_REPLICATES_MIN);
    return SWT_CLI_GO_ON;
}
