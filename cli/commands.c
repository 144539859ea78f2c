/* The table of commands, in the order in which a study goes through them. */
#include "cli/commands.h"

const swt_cli_command swt_cli_commands[] = {
    {0},
};
