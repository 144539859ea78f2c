/** @file  Marker maps in INI form (libinih).
 *  Layer: io. */
#ifndef SWT_IO_SHEET_MAP_INI_H
#define SWT_IO_SHEET_MAP_INI_H

#include "io/files.h"
#include "kinematics/marker_map.h"

/**
 * Reads a marker map. datasets/maps/template.ini shows every key with its meaning.
 * @param[out] map     reset with swt_marker_map_reset; in its initial state on failure
 * @param[out] sha256  of the file, SWT_SHA256_TEXT characters; may be NULL
 * @retval SWT_EFORMAT  message names line, key, what was found and what is allowed
 */
SWT_MUST_USE swt_status swt_map_ini_read(swt_marker_map *map, char *sha256, const char *path,
                                         swt_error *err);

/** The same from memory; bytes[size] must be NUL (as swt_file_read leaves it). */
SWT_MUST_USE swt_status swt_map_ini_parse(swt_marker_map *map, const unsigned char *bytes,
                                          size_t size, swt_error *err);

#endif
