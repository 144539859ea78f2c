/* The table of commands, in the order in which a study goes through them. */
#include "cli/commands.h"

const swt_cli_command swt_cli_commands[] = {
    {"run", "SHEET", "Do it all: from captures and a sheet to tables, figures and reports",
     "Import, measure, corridor, compare, tables, figures and report in one go. Writes into the\n"
     "folder study.h5, tables/, figures/ and report/ with index.html. Captures that cannot be\n"
     "used are told, the others go on, and the exit code is 1.\n\n"
     "Run again, it does only what has changed since: captures whose bytes, row of the sheet, map\n"
     "or options are new. Stopped or killed, it goes on from where it was. With --part only the\n"
     "study is written, for `swathe merge`.\n\n"
     "The sheet is a CSV file with a header line and one row a capture. Columns: file, player\n"
     "(required); session, group, side (right or left), club, shot, static, map, subject (whose\n"
     "markers, where a capture holds several people's); all others are kept as covariates.",
     swt_cmd_run},
    {"inspect", "FILE...", "Print what capture files hold",
     "Markers with their gaps, rate, frames, units, events, analog channels, processor type, and\n"
     "what deviates from the format.",
     swt_cmd_inspect},
    {"import", "SHEET", "Read every capture of a sheet and check that the marker map fits",
     "Stores what each capture holds in a study, without measuring anything. Captures that cannot\n"
     "be used are told with their reason; the others go on. `swathe measure` computes the swings.",
     swt_cmd_import},
    {"measure", "STUDY", "Compute the swings of an imported study",
     "Reads the captures again and refuses those that have changed since the import. Events,\n"
     "curves and measures are added to the study; captures that were measured with the same "
     "options\n"
     "stay as they are. Corridors are dropped where any number is new.",
     swt_cmd_measure},
    {"merge", "STUDY...", "Join studies of parts of a sheet into the study of the whole",
     "Parts made by --part K/N are put into the order of the sheet, and all of them must be\n"
     "there; other studies are joined in the order given. The numbers are those of a study made\n"
     "in one go. Corridors are left behind: build them from the whole.",
     swt_cmd_merge},
    {"corridor", "STUDY", "Build the corridors that a reference group stays in",
     "Players are the sampling unit. Curves get a simultaneous band, scalar measures a tolerance\n"
     "interval. They are stored in the study with the conditions and options that made them. The\n"
     "reference is a group of the sheet, or the swings that meet conditions on its columns, or "
     "both:\n"
     "--reference tour --where 'handicap <= 2, shot = half'. Of the chosen swings those of the\n"
     "commonest club and shot are taken.",
     swt_cmd_corridor},
    {"compare", "STUDY", "Find where the other swings leave the corridors, and what comes first",
     "Prints the first departure of each player outside the reference group, how unusual the "
     "whole\n"
     "swing is, and stores all departures and scores in the study. With --only or --trace it "
     "answers\n"
     "and stores nothing.",
     swt_cmd_compare},
    {"progress", "STUDY", "Hold a player's sessions against each other: practice or noise?",
     "Each session of a player is held against the first one, in every scalar measure. A "
     "difference\n"
     "counts when it is more than the player's swings differ by themselves (standard error of\n"
     "measurement and minimal detectable change, Weir 2005), all measures taken together. With\n"
     "corridors in the study it is told whether the change leads towards the group. -o writes\n"
     "progress.csv, noise.csv (ICC, SEM) and a figure of each measure that is told.",
     swt_cmd_progress},
    {"shots", "STUDY", "Hold a player's partial shots against the full ones",
     "As `progress`, with shot lengths in place of sessions: does the position at lead arm level\n"
     "hold from the full shot to the half one, and what differs? For a corridor of each shot "
     "length:\n"
     "swathe corridor STUDY -r GROUP --where 'shot = half' --name half",
     swt_cmd_shots},
    {"outcomes", "STUDY", "Find which measures go with the results of the shots",
     "Results are columns of the sheet that hold numbers: start line, curve, carry. Rank "
     "correlation\n"
     "and median slope of each scalar measure with each result, from swing to swing of one player\n"
     "and from player to player apart, with p-values by permutation, adjusted for all pairs "
     "looked\n"
     "at. -o writes outcomes.csv and figures of the clearest.",
     swt_cmd_outcomes},
    {"simulate", "", "Simulate how often a corridor of such a group keeps its word",
     "For planning a reference group: draws groups of the size given, builds a corridor from each\n"
     "as `swathe corridor` does, and counts how many swings of players who are not in the group "
     "lie\n"
     "wholly inside. Takes some seconds to minutes.",
     swt_cmd_simulate},
    {"report", "STUDY", "Write a page for each assessed player, with figures, and an index",
     "Every page is one file that opens from disk without a network. Without corridors in the\n"
     "study the swings are shown by themselves.",
     swt_cmd_report},
    {"figures", "STUDY", "Draw the figures of the assessed players, for a paper or a slide",
     "Hand path, curves over their corridors, timing and depth ledger, in a width for a column, a\n"
     "page or a slide.",
     swt_cmd_figures},
    {"plot", "STUDY MEASURE", "Draw one measure of chosen swings as one figure",
     "A curve (hand_depth, pelvis_turn, ...) is drawn through the swing, each swing thin and "
     "their\n"
     "median thick, over the corridor where the study holds one. A measure that is one number a\n"
     "swing (backswing_time, ...) gets a row for each player, or for each group where there are\n"
     "more than 30 players. `swathe help curves` and `swathe help measures` list the names.",
     swt_cmd_plot},
    {"camera", "STUDY", "Tell by how much one video camera misjudges the depth of the hands",
     "A camera that stands there reads depth across its picture, from a plumb line through the "
     "toes\n"
     "and on the scale of things at the toes. Printed at each event: depth, depth as seen, how "
     "far\n"
     "off; and where at that distance to put the camera so that the worst of it is least.",
     swt_cmd_camera},
    {"tables", "STUDY", "Write the study as CSV tables with a dictionary",
     "Measures (long and wide), events, captures, findings; departures and scores of whole swings\n"
     "where the study holds corridors; curves on request.",
     swt_cmd_tables},
    {"export", "CAPTURE|STUDY", "Write a capture in another format, or a study as a BIDS dataset",
     "A capture becomes C3D (floating-point), CSV or a recording of the motion extension of BIDS,\n"
     "told by the output's name. Coordinates, labels, rate, unit and analog channels are kept;\n"
     "C3D and BIDS keep events. In CSV and BIDS an analog value is the mean over one frame's\n"
     "length, centred on the frame.\n\n"
     "Of a study the smoothed landmarks of its swings are written, each swing a recording, in the\n"
     "swing frame, with the swing's events: a dataset with participants and sidecars.",
     swt_cmd_export},
    {"generate", "demo|swing", "Make captures whose truth is known, by a model of the swing",
     "`generate demo` makes the invented demo study: captures, sheet and marker map in a folder.\n"
     "`generate swing` makes one capture, for planning a study or for trying what noise, rate or\n"
     "a fault does to the measures.",
     swt_cmd_generate},
    {"verify", "STUDY...", "Check that study files are whole", "", swt_cmd_verify},
    {"provenance", "STUDY", "Tell what a study was made from, and the command that makes it again",
     "Version, options, sheet, map and captures with their hashes, and whether the files are "
     "still\n"
     "the same here. `--command` prints the command line alone, for a shell.",
     swt_cmd_provenance},
    {"deidentify", "FILE...", "Copy captures and studies without what tells whose they are",
     "For sharing. Captures keep labels, trajectories, analog channels and the times of events;\n"
     "studies keep all numbers, groups, clubs and shots. Everything else is left out and listed:\n"
     "names, dates, paths, descriptions, free text. The list names players, so keep it to "
     "yourself.\n"
     "What the motion itself tells of a person cannot be taken out: consent and local rules come\n"
     "first.",
     swt_cmd_deidentify},
    {0},
};
