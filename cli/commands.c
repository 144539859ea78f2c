/* The table of commands, in the order in which a study goes through them. */
#include "cli/commands.h"

const swt_cli_command swt_cli_commands[] = {
    {"inspect", "FILE...", "Print what capture files hold",
     "Markers with their gaps, rate, frames, units, events, analog channels, processor type, and "
     "what\n"
     "deviates from the format.",
     swt_cmd_inspect},
    {"import", "SHEET", "Read every capture of a sheet and check that the marker map fits",
     "Stores what each capture holds in a study, without measuring anything. Broken captures are\n"
     "told with their reason; the others go on. `swathe measure` then computes the swings.",
     swt_cmd_import},
    {"measure", "STUDY", "Compute the swings of an imported study",
     "Reads the captures again and refuses those that have changed since the import. Events, "
     "curves\n"
     "and measures are added to the study.",
     swt_cmd_measure},
    {"verify", "STUDY...", "Check that study files are whole", "", swt_cmd_verify},
    {0},
};
