/** @file  Large blocks of memory.
 *  Layer: base. */
#ifndef SWT_BASE_BLOCK_H
#define SWT_BASE_BLOCK_H

#include <stddef.h>

/**
 * Like malloc; ended by free. A block of many megabytes is asked for in large pages where the
 * system has them: a reader fills each byte once, and with small pages most of its time would go
 * into getting them from the system one by one.
 */
void *swt_block_alloc(size_t size);

#endif
