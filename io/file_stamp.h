/** @file  Whether a file is the one that was read before, told without reading it.
 *  Layer: io. */
#ifndef SWT_IO_FILE_STAMP_H
#define SWT_IO_FILE_STAMP_H

enum { SWT_FILE_STAMP = 96 };

/**
 * Size, time of last modification, time of last change and inode number of a file, as a text. As
 * long as it is the same, the bytes are.
 *
 * Two writes within the resolution of the file system's clock cannot be told apart by it. So a file
 * modified less than two seconds ago (the coarsest clock in use, that of FAT) has no stamp, as has
 * one that cannot be looked at: the stamp is "", which equals no other. The change time cannot be
 * set back by programs that copy a modification time.
 */
void swt_file_stamp(char stamp[SWT_FILE_STAMP], const char *path);

#endif
