/*
 * budget.c - both directions of a link, the weaker one reported.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_priv.h"

#include <math.h>

#include "hr_stats.h"

double hr_links_required_for(const hr_radio *radio, double sigma_db)
{
    return fmax(hr_stats_normal_quantile(radio->target_reliability) * sigma_db, radio->minimum_margin_db);
}

double hr_links_sigma_db(const hr_links *links)
{
    return links->sigma_db;
}

double hr_links_required_margin_db(const hr_links *links)
{
    return links->required_db;
}

static double received_dbm(const hr_end *from, const hr_end *to, double path_loss_db)
{
    return from->radio->tx_power_dbm + from->radio->antenna_gain_dbi + to->radio->antenna_gain_dbi - path_loss_db;
}

hr_status hr_links_measure(const hr_links *links, hr_link_work *work, const hr_end *child, const hr_end *parent,
                           hr_link *link, hr_error *err)
{
    hr_link found;
    const hr_status status = hr_links_cross(links, work, child, parent, &found, err);
    if (status != HR_OK) {
        return status;
    }
    const double offset_db = link_fitted_offset_db(links, child, parent);
    const double down_dbm = received_dbm(parent, child, found.path_loss_db) + offset_db;
    const double up_dbm = received_dbm(child, parent, found.path_loss_db) + offset_db;
    found.noise_rise_db = links->building->radio.noise_rise_db;
    const double down_db = down_dbm - child->radio->sensitivity_dbm - found.noise_rise_db;
    const double up_db = up_dbm - parent->radio->sensitivity_dbm - found.noise_rise_db;
    found.direction = hr_micro(up_db) < hr_micro(down_db) ? HR_UP : HR_DOWN;
    found.received_dbm = found.direction == HR_UP ? up_dbm : down_dbm;
    found.sensitivity_dbm =
        found.direction == HR_UP ? parent->radio->sensitivity_dbm : child->radio->sensitivity_dbm;
    found.link_margin_db = found.direction == HR_UP ? up_db : down_db;
    found.sigma_db = links->sigma_db;
    found.required_margin_db = links->required_db;
    found.spare_db = found.link_margin_db - found.required_margin_db;
    /* without any spread the outcome is certain either way */
    found.reliability = found.sigma_db > 0.0 ? hr_stats_normal_below(found.link_margin_db / found.sigma_db)
                                             : (found.link_margin_db >= 0.0 ? 1.0 : 0.0);
    *link = found;
    return HR_OK;
}
