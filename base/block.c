#define _DEFAULT_SOURCE /* madvise */
#include "base/block.h"

#include <stdint.h>
#include <stdlib.h>
#include <sys/mman.h>

static const size_t large_page = (size_t)2 << 20, worth_it = (size_t)8 << 20;

void *swt_block_alloc(size_t size)
{
    void *block;
    size_t rounded;

    if (size < worth_it || size > SIZE_MAX - large_page)
        return malloc(size ? size : 1);
    rounded = (size + large_page - 1) / large_page * large_page;
    block = aligned_alloc(large_page, rounded);
#ifdef MADV_HUGEPAGE
    if (block)
        (void)madvise(block, rounded, MADV_HUGEPAGE); /* no more than a wish */
#endif
    return block;
}
