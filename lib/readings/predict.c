/*
 * predict.c - the level that the model has for a reading.
 *
 * SPDX-License-Identifier: MIT
 */
#include "hr_propagation.h"
#include "readings_priv.h"

#include <math.h>

/* A reader held to the other end stands this near at least. Assumed. */
#define NEAREST_M 0.3

uint32_t hr_readings_room(const hr_readings *readings, size_t index)
{
    const hr_reading *r = &readings->items[index];
    const uint32_t device = r->from.device != HR_READINGS_NONE ? r->from.device : r->to.device;
    return device == HR_READINGS_NONE ? HR_READINGS_NONE : readings->building->devices[device].room;
}

const hr_reading_end *hr_readings_place(const hr_readings *readings, size_t index)
{
    const hr_reading *r = &readings->items[index];
    if (r->from.point || r->to.point) {
        return r->from.point ? &r->from : &r->to;
    }
    return r->from.device != HR_READINGS_NONE ? &r->from : &r->to;
}

hr_status hr_readings_predict(const hr_readings *readings, const hr_links *links, hr_link_work *work, size_t index,
                              hr_link *link, double *predicted_dbm, hr_error *err)
{
    const hr_reading *r = &readings->items[index];
    hr_link found;
    const hr_status status = hr_links_measure(links, work, &r->from.end, &r->to.end, &found, err);
    if (status != HR_OK) {
        return status;
    }
    /* all but the transmit power is the same both ways; up is from the child, here `from` */
    *predicted_dbm = found.direction == HR_UP ? found.received_dbm
                                              : found.received_dbm - r->to.end.radio->tx_power_dbm +
                                                    r->from.end.radio->tx_power_dbm;
    *link = found;
    return HR_OK;
}

double hr_readings_free_space_dbm(const hr_building *building, const hr_end *from, const hr_end *to)
{
    const double plan_m = hr_geometry_distance(from->at, to->at);
    const double distance_m = fmax(hypot(plan_m, from->z_m - to->z_m), NEAREST_M);
    const double loss_db = hr_propagation_free_space_db(building->radio.frequency_mhz, distance_m);
    const double offset_db = isfinite(building->fitted.offset_db) ? building->fitted.offset_db : 0.0;
    return from->radio->tx_power_dbm + from->radio->antenna_gain_dbi + to->radio->antenna_gain_dbi - loss_db +
           fmax(offset_db, 0.0);
}
