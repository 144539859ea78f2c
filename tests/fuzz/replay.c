/* Hands every file of the given folders, and every file named, to the fuzz target: a corpus as an
   ordinary test, for any compiler. */
#include "tests/fuzz/fuzz.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

static int replay_file(const char *path)
{
    FILE *file = fopen(path, "rb");
    unsigned char *bytes = NULL;
    long size;
    int done = 0;

    if (!file) {
        fprintf(stderr, "%s: cannot be opened\n", path);
        return 0;
    }
    if (fseek(file, 0, SEEK_END) == 0 && (size = ftell(file)) >= 0 &&
        fseek(file, 0, SEEK_SET) == 0) {
        /* exactly as many bytes as there are, so that a read past the end is seen */
        bytes = malloc(size > 0 ? (size_t)size : 1);
        if (bytes && fread(bytes, 1, (size_t)size, file) == (size_t)size) {
            LLVMFuzzerTestOneInput(bytes, (size_t)size);
            done = 1;
        }
    }
    free(bytes);
    fclose(file);
    return done;
}

static int replay(const char *path)
{
    struct stat st;
    DIR *folder;
    int n = 0;

    if (stat(path, &st) == 0 && S_ISREG(st.st_mode))
        return replay_file(path);
    folder = opendir(path);
    if (!folder) {
        fprintf(stderr, "%s: neither file nor folder\n", path);
        return 0;
    }
    for (struct dirent *entry; (entry = readdir(folder));) {
        char inner[4096];
        if (entry->d_name[0] == '.')
            continue;
        snprintf(inner, sizeof inner, "%s/%s", path, entry->d_name);
        n += replay(inner);
    }
    closedir(folder);
    return n;
}

int main(int argc, char **argv)
{
    int n = 0;

    for (int i = 1; i < argc; i++)
        n += replay(argv[i]);
    printf("%d inputs replayed\n", n);
    return n > 0 ? 0 : 1;
}
