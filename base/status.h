/** @file  Status codes and the caller-owned error message.
 *  Layer: base. Used by every other folder; knows nothing of swings. */
#ifndef SWT_BASE_STATUS_H
#define SWT_BASE_STATUS_H

#if defined(__GNUC__)
#define SWT_MUST_USE __attribute__((warn_unused_result))
#define SWT_PRINTF(f, a) __attribute__((format(printf, f, a)))
#else
#define SWT_MUST_USE
#define SWT_PRINTF(f, a)
#endif

/** What the user can do about a failure, not which line of ours failed. */
typedef enum swt_status {
    SWT_OK = 0,
    SWT_EARG,    /**< an option or argument is out of range: change the call        */
    SWT_EIO,     /**< the disk or a program said no: check path, space, permission  */
    SWT_EFORMAT, /**< a file is not what its format demands: repair or re-export it */
    SWT_EDATA,   /**< well formed, but the data cannot serve: see the message       */
    SWT_ENUM,    /**< a computation did not converge or is not defined              */
    SWT_ENOMEM   /**< out of memory                                                 */
} swt_status;

/** Error detail, owned by the caller. Set only on failure; never read by the library. */
typedef struct swt_error {
    swt_status code;
    char msg[512]; /**< UTF-8, one or more sentences, no trailing newline */
} swt_error;

#define SWT_ERROR_INIT                                                                             \
    {                                                                                              \
        SWT_OK, ""                                                                                 \
    }

/** Sets `err` (may be NULL) and returns `code`, so that a caller can `return swt_fail(...)`. */
swt_status swt_fail(swt_error *err, swt_status code, const char *format, ...) SWT_PRINTF(3, 4);

/** Puts "prefix: " before the message: each level adds the one fact that only it knows. */
void swt_error_prefix(swt_error *err, const char *format, ...) SWT_PRINTF(2, 3);

#endif
