/** @file  The entry point that libFuzzer and replay.c call. */
#ifndef SWT_TESTS_FUZZ_H
#define SWT_TESTS_FUZZ_H

#include <stddef.h>
#include <stdint.h>

/** Reads one input; must return 0, whatever the bytes are. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

#endif
