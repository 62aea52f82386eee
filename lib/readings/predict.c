/*
 * predict.c - the level that the model has for a reading.
 *
 * SPDX-License-Identifier: MIT
 */
#include "readings_priv.h"

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
