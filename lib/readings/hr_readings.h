/*
 * hr_readings.h - measured levels: a list read, matched to the building, and
 * what the model predicts for each.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_READINGS_H
#define HR_READINGS_H

#include "hr_base.h"
#include "hr_building.h"
#include "hr_links.h"

#ifdef __cplusplus
extern "C" {
#endif

#define HR_READINGS_NONE UINT32_MAX
/* More rows than this are refused. */
#define HR_READINGS_MAX 100000

/* One end of a reading. */
typedef struct hr_reading_end {
    const char *name; /* as the building has it; a point: its kind */
    uint32_t gateway; /* index into building->gateways, or HR_READINGS_NONE */
    uint32_t device;  /* index into building->devices, or HR_READINGS_NONE */
    uint32_t storey;
    bool point;       /* stands at coordinates of its own */
    hr_end end;
} hr_reading_end;

/* One row that was understood. */
typedef struct hr_reading {
    int line;
    hr_reading_end from, to;
    bool heard;
    double rssi_dbm;      /* measured at `to`; NaN: not heard */
    double threshold_dbm; /* below it nothing is heard: as written, else the sensitivity of `to` */
    const char *joined;   /* what the device says it joined, as written; NULL: not given */
    uint32_t joined_gateway; /* the gateway of that id or network id, HR_READINGS_NONE */
    uint32_t joined_device;  /* the device of that name: its next hop, HR_READINGS_NONE */
    double loss_percent;  /* packets lost on the way; NaN: not given */
} hr_reading;

/* A row that was left out. */
typedef struct hr_reading_fault {
    int line;
    const char *text;
} hr_reading_fault;

typedef struct hr_readings {
    const hr_building *building;
    const char *file;
    hr_reading *items;
    size_t count, heard;
    hr_reading_fault *faults;
    size_t fault_count;
    hr_arena *arena;
} hr_readings;

/*
 * Reads a list of columns from,to,rssi_dbm (or gateway,room,rssi_dbm) and
 * optionally threshold_dbm, joined, loss_percent and, for a point in place of
 * one end, storey,x,y,mount_height,kind. Rows that cannot be used, and levels louder
 * than the distance allows, are left out, listed in faults and noted with their line. Errors: HR_ERR_INPUT for a list without
 * a usable header or in another length unit, HR_ERR_LIMIT, HR_ERR_MEMORY.
 */
HR_API hr_status hr_readings_parse(const hr_building *building, const char *file, const char *bytes, size_t len,
                                   hr_notes *notes, hr_readings **readings, hr_error *err);
HR_API hr_status hr_readings_read(const hr_building *building, const char *path, hr_notes *notes,
                                  hr_readings **readings, hr_error *err);
HR_API void hr_readings_free(hr_readings *readings);

/* The room of a reading: of its device (of `from` where both ends are devices); HR_READINGS_NONE. */
HR_API uint32_t hr_readings_room(const hr_readings *readings, size_t index);
/* The end that is told with its place: the point, else the device, else `to`. */
HR_API const hr_reading_end *hr_readings_place(const hr_readings *readings, size_t index);

/* Which link each reading is of, counted from 0 in the order of the list: the same two places, in either direction.
 * link_of has room for readings->count. HR_ERR_MEMORY. */
HR_API hr_status hr_readings_links(const hr_readings *readings, uint32_t *link_of, size_t *links, hr_error *err);

/* Predicted level at `to`. work->items holds what the link crosses; link as hr_links_measure. */
HR_API hr_status hr_readings_predict(const hr_readings *readings, const hr_links *links, hr_link_work *work,
                                     size_t index, hr_link *link, double *predicted_dbm, hr_error *err);

/* What free space would leave at `to`, antennas at their best angle and nothing in the way; dBm. */
HR_API double hr_readings_free_space_dbm(const hr_building *building, const hr_end *from, const hr_end *to);
/* A level so far above that is a slip of the pen: corridors and reflections bring 10 dB, the power that was set may
 * differ from the file's. Assumed. */
#define HR_READINGS_LOUDER_DB 20.0

/* ---- measured beside predicted ------------------------------------------- */

typedef struct hr_difference {
    double predicted_dbm;
    double difference_db; /* measured - predicted; NaN: not heard */
    double beyond_db;     /* not heard: predicted - threshold where that is above 0, else 0 */
} hr_difference;

/* Differences of the links that have something in common; a link counts once, with the mean of its readings, as what
 * shadows it is the same each time. */
typedef struct hr_difference_group {
    const char *kind; /* "material", "storey", "gateway" */
    const char *name;
    size_t count, others; /* links */
    double mean_db, others_mean_db;
    double z;      /* of the two means' difference, by the spread of all links */
    bool stands_out; /* too far for chance, the number of groups considered */
} hr_difference_group;

typedef struct hr_comparison {
    const hr_readings *readings;
    hr_difference *items;   /* beside the readings */
    size_t count;           /* readings heard */
    double rmse_db, bias_db; /* of those; NaN: none */
    size_t unheard_above;   /* not heard though predicted above their threshold */
    uint32_t *worst;        /* readings heard, largest difference first */
    hr_difference_group *groups; /* largest |z| first */
    size_t group_count;
    hr_arena *arena;
} hr_comparison;

HR_API hr_status hr_readings_compare(const hr_readings *readings, const hr_links *links, hr_comparison **comparison,
                                     hr_error *err);
HR_API void hr_comparison_free(hr_comparison *comparison);

#ifdef __cplusplus
}
#endif
#endif
