#include "cli/demo_study.h"

#include "cli/progress.h"
#include "datasets/generator/demo.h"
#include "demo_map.h" /* datasets/maps/demo.ini as text, made by CMake */
#include "io/c3d/c3d_write.h"
#include "io/files.h"

#include <stdio.h>

static swt_status make_capture(const char *folder, const swt_demo_row *row, swt_error *err)
{
    char path[4096];
    swt_capture *capture = NULL;
    swt_status rc;

    if ((size_t)snprintf(path, sizeof path, "%s/%s.c3d", folder, row->file) >= sizeof path)
        return swt_fail(err, SWT_EARG, "%s: path too long", folder);
    rc = swt_model_capture(&capture, NULL, &row->build, &row->swing, &row->recording, err);
    if (rc == SWT_OK)
        rc = swt_c3d_write(path, capture, NULL, err);
    else
        swt_error_prefix(err, "%s", row->file);
    swt_capture_free(capture);
    return rc;
}

static swt_status write_text(const char *folder, const char *name, const char *text, swt_error *err)
{
    char path[4096];
    swt_file_draft draft;
    swt_status rc;

    if ((size_t)snprintf(path, sizeof path, "%s/%s", folder, name) >= sizeof path)
        return swt_fail(err, SWT_EARG, "%s: path too long", folder);
    rc = swt_draft_open(&draft, path, err);
    if (rc != SWT_OK)
        return rc;
    fputs(text, draft.stream);
    return swt_draft_commit(&draft, err);
}

static swt_status write_sheet(const char *folder, swt_error *err)
{
    char path[4096];
    swt_file_draft draft;
    swt_status rc;

    if ((size_t)snprintf(path, sizeof path, "%s/sheet.csv", folder) >= sizeof path)
        return swt_fail(err, SWT_EARG, "%s: path too long", folder);
    rc = swt_draft_open(&draft, path, err);
    if (rc != SWT_OK)
        return rc;
    fputs("file,player,session,group,side,club,shot,handicap,carry_m,curve_m,note\n", draft.stream);
    for (size_t i = 0; i < swt_demo_count(); i++) {
        swt_demo_row row;
        swt_demo_row_at(&row, i);
        fprintf(draft.stream, "%s.c3d,%s,%s,%s,%s,%s,%s,%.1f,%.1f,%.1f,\"%s\"\n", row.file,
                row.player, row.session, row.group, row.side, row.club, row.shot, row.handicap,
                row.carry_m, row.curve_m, row.note);
    }
    return swt_draft_commit(&draft, err);
}

int swt_cli_make_demo(const swt_cli_command *command, const char *folder)
{
    swt_error err = SWT_ERROR_INIT;
    swt_progress progress;
    swt_status rc = swt_folder_make(folder, &err);

    swt_progress_begin(&progress, swt_demo_count());
    for (size_t i = 0; i < swt_demo_count() && rc == SWT_OK; i++) {
        swt_demo_row row;
        swt_progress_step(&progress, i, "captures made");
        swt_demo_row_at(&row, i);
        rc = make_capture(folder, &row, &err);
    }
    swt_progress_end(&progress);
    if (rc == SWT_OK)
        rc = write_text(folder, "map.ini", swt_demo_map, &err);
    if (rc == SWT_OK)
        rc = write_sheet(folder, &err);
    if (rc != SWT_OK)
        return swt_cli_fail(command, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    printf("%s: %zu captures, sheet.csv, map.ini\n", folder, swt_demo_count());
    return SWT_EXIT_ALL_DONE;
}
