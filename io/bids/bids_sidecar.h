/** @file  What lies beside a BIDS recording: its facts (JSON) and the table of its channels.
 *  Layer: io. */
#ifndef SWT_IO_BIDS_SIDECAR_H
#define SWT_IO_BIDS_SIDECAR_H

#include "base/capture.h"

/** Facts of `*_motion.json` and `*_channels.json`. Zero it to begin. */
typedef struct swt_bids_facts {
    double nominal_hz;        /**< SamplingFrequency; 0 = not stated          */
    double effective_hz;      /**< SamplingFrequencyEffective; 0 = not stated */
    char tracking_system[64]; /**< TrackingSystemName, "" = not stated        */
    char spatial_axes[8];     /**< SpatialAxes, of all or of the only frame of reference, "" = not
                                 stated */
    char missing_values[16];  /**< MissingValues, "" = not stated             */
} swt_bids_facts;

/**
 * Adds what a sidecar states and `facts` does not hold yet, so that the nearest file is read first.
 * @retval SWT_EFORMAT  no JSON object, or a fact of the wrong kind
 */
SWT_MUST_USE swt_status swt_bids_facts_add(swt_bids_facts *facts, const void *json, size_t size,
                                           swt_error *err);

typedef enum swt_bids_kind {
    SWT_BIDS_POSITION, /**< POS with a component x, y or z of a tracked point */
    SWT_BIDS_LATENCY,  /**< seconds after the first sample                     */
    SWT_BIDS_MISC,     /**< kept as an analog channel, one sample a frame      */
    SWT_BIDS_OTHER     /**< velocities, orientations and the like: not used    */
} swt_bids_kind;

/** One row of `*_channels.tsv`: one column of the recording. */
typedef struct swt_bids_channel {
    swt_bids_kind kind;
    size_t axis; /**< 0, 1, 2 of a position */
    char *name, *type, *point, *unit;
    double rate_hz; /**< sampling_frequency, 0 = not stated */
} swt_bids_channel;

typedef struct swt_bids_channels {
    size_t n;
    swt_bids_channel *channel;
} swt_bids_channels;

/**
 * Reads the table of channels.
 * @retval SWT_EFORMAT  a required column is missing, or a cell cannot be used; line named
 */
SWT_MUST_USE swt_status swt_bids_channels_parse(swt_bids_channels *out, const void *text,
                                                size_t size, swt_error *err);

void swt_bids_channels_reset(swt_bids_channels *channels);

/** The files that tell about a recording, nearest first: same folder, then the folders above up to
 *  the dataset's root. */
typedef struct swt_bids_beside {
    char *channels; /**< path of `*_channels.tsv`, NULL when there is none            */
    char *events;   /**< path of its own `*_events.tsv`, NULL when there is none       */
    size_t n_json;
    char *json[8]; /**< paths of `*_motion.json` and `*_channels.json` */
} swt_bids_beside;

/** @retval SWT_EIO, SWT_ENOMEM */
SWT_MUST_USE swt_status swt_bids_beside_find(swt_bids_beside *out, const char *motion_path,
                                             swt_error *err);

void swt_bids_beside_reset(swt_bids_beside *beside);

#endif
