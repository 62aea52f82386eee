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

bool hr_links_margin_is_common(const hr_links *links)
{
    const hr_radio *radio = &links->building->radio;
    return !radio->count_spreads || radio->model == HR_MODEL_SITE_GENERAL;
}

/* Losses and gains of both ends, the same in both directions. */
static double between_db(const hr_link *link)
{
    return link->parent.gain_dbi + link->child.gain_dbi - link->path_loss_db - link->child.case_db - link->parent.case_db -
           link->child.clearance_db - link->parent.clearance_db;
}

/* Mean margin, required margin and what follows from them. */
static void judge(const hr_links *links, const hr_link_work *work, hr_link *link)
{
    const bool common = hr_links_margin_is_common(links);
    link->sigma_db = common ? links->sigma_db : link_sigma_db(links, work->items, work->item_count);
    link->required_margin_db =
        common ? links->required_db : hr_links_required_for(&links->building->radio, link->sigma_db);
    link->spare_db = link->link_margin_db - link->required_margin_db;
    /* without any spread the outcome is certain either way */
    link->reliability = link->sigma_db > 0.0 ? hr_stats_normal_below(link->link_margin_db / link->sigma_db)
                                             : (link->link_margin_db >= 0.0 ? 1.0 : 0.0);
}

hr_status link_measure(const hr_links *links, hr_link_work *work, const hr_end *child, const hr_end *parent,
                       int direction, bool carrying, hr_link *link, hr_error *err)
{
    hr_link found;
    /* the spread is that of the walls on the way that carries the link */
    const hr_status status =
        link_cross(links, work, child, parent, carrying || !hr_links_margin_is_common(links), &found, err);
    if (status != HR_OK) {
        return status;
    }
    link_end_terms(links, child, parent, &found.child);
    link_end_terms(links, parent, child, &found.parent);
    found.fitted_offset_db = link_fitted_offset_db(links, child, parent);
    const double way_db = between_db(&found) + found.fitted_offset_db;
    const double down_dbm = parent->radio->tx_power_dbm + way_db;
    const double up_dbm = child->radio->tx_power_dbm + way_db;
    found.noise_rise_db = links->building->radio.noise_rise_db;
    const double down_db = down_dbm - child->radio->sensitivity_dbm - found.noise_rise_db;
    const double up_db = up_dbm - parent->radio->sensitivity_dbm - found.noise_rise_db;
    const bool up_weaker = hr_micro(up_db) < hr_micro(down_db);
    found.direction = direction == HR_UP || (direction != HR_DOWN && up_weaker) ? HR_UP : HR_DOWN;
    const bool up = found.direction == HR_UP;
    found.received_dbm = up ? up_dbm : down_dbm;
    found.sensitivity_dbm = up ? parent->radio->sensitivity_dbm : child->radio->sensitivity_dbm;
    found.link_margin_db = up ? up_db : down_db;
    judge(links, work, &found);
    *link = found;
    return HR_OK;
}

hr_status hr_links_measure(const hr_links *links, hr_link_work *work, const hr_end *child, const hr_end *parent,
                           hr_link *link, hr_error *err)
{
    return link_measure(links, work, child, parent, LINK_WEAKER, false, link, err);
}

hr_status hr_links_measure_way(const hr_links *links, hr_link_work *work, const hr_end *child, const hr_end *parent,
                               hr_link *link, hr_error *err)
{
    return link_measure(links, work, child, parent, LINK_WEAKER, true, link, err);
}
