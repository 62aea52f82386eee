/*
 * site.c - the model site-general: the kind of building instead of its walls
 * (ITU-R P.1238). Slabs really pierced are counted, metal on the way too.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_priv.h"

#include <math.h>

static hr_status unknown_environment(const hr_building *building, hr_error *err)
{
    const char *names[16];
    size_t count = 0;
    hr_text list = {0};
    for (const char *name = NULL; count < 16 && (name = hr_propagation_site_name(count)) != NULL;) {
        names[count] = name;
        hr_text_addf(&list, "%s%s", count > 0 ? ", " : "", name);
        count++;
    }
    const char *nearest = hr_nearest(building->radio.environment, names, count, 3);
    const hr_status status =
        list.failed ? hr_fail_memory(err)
                    : hr_fail(err, HR_ERR_INPUT, building->file, 0, "environment = %s: %s%s was expected%s%s%s",
                              building->radio.environment, "one of ", list.bytes, nearest == NULL ? "" : ", did you mean ",
                              nearest == NULL ? "" : nearest, nearest == NULL ? "" : "?");
    hr_text_free(&list);
    return status;
}

hr_status link_prepare_site(hr_links *links, hr_error *err)
{
    const hr_radio *radio = &links->building->radio;
    const char *environment =
        radio->environment[0] != '\0' ? radio->environment : hr_propagation_site_default(radio->frequency_mhz);
    if (!hr_propagation_site_find(environment, radio->frequency_mhz, &links->site)) {
        return radio->environment[0] != '\0' ? unknown_environment(links->building, err) : hr_fail_memory(err);
    }
    return HR_OK;
}

double link_site_spread_db(const hr_links *links, double dist_m)
{
    const double freq_mhz = links->building->radio.frequency_mhz;
    const hr_site_row *site = &links->site;
    if (!site->slope_only) {
        return hr_propagation_site_db(site, freq_mhz, dist_m, 0);
    }
    /* a corridor row gives its slope only; the floor is that of hr_propagation_site_db */
    const double range_m = fmax(dist_m, 1.0);
    return fmax(hr_propagation_log_distance_db(freq_mhz, site->alpha, range_m),
                hr_propagation_free_space_db(freq_mhz, range_m) - 5.0);
}

/* The slabs pierced get the row's floor loss in steps. */
static void floors_by_row(const hr_site_row *site, hr_link_work *work)
{
    unsigned floors = 0;
    for (size_t i = 0; i < work->item_count; i++) {
        hr_item *item = &work->items[i];
        if (item->kind == HR_ITEM_FLOOR) {
            item->loss_db = hr_propagation_site_floors_db(site, floors + 1) - hr_propagation_site_floors_db(site, floors);
            item->table_db = item->loss_db;
            floors++;
        }
    }
}

hr_status link_cross_site(const link_ray *ray, hr_link *link)
{
    const hr_site_row *site = &ray->links->site;
    hr_link_work *work = ray->work;
    work->item_count = 0;
    hr_status status = ray->length_m >= LINK_PLAN_MIN_M ? link_cross_metal(ray) : HR_OK;
    if (status == HR_OK) {
        status = link_cross_floors(ray);
    }
    if (status != HR_OK) {
        return status;
    }
    floors_by_row(site, work);
    link->spread_loss_db = link_site_spread_db(ray->links, link->distance_m);
    link_sum_items(work->items, work->item_count, link);
    link->path_loss_db = link->spread_loss_db + link->floor_loss_db + link->metal_loss_db;
    link->extrapolated = site->extrapolated || link->distance_m < site->low_m || link->distance_m > site->high_m ||
                         (site->abg && link->slabs > 0);
    if (!site->abg && !hr_propagation_in_range(HR_RANGE_P1238_M, link->distance_m)) {
        link->beyond |= 1U << HR_RANGE_P1238_M;
    }
    if (!site->abg && !hr_propagation_in_range(HR_RANGE_P1238_FLOORS, link->slabs)) {
        link->beyond |= 1U << HR_RANGE_P1238_FLOORS;
    }
    return HR_OK;
}

double hr_links_area_from_edge(const hr_links *links, double edge_margin_db)
{
    const hr_site_row *site = &links->site;
    if (links->building->radio.model != HR_MODEL_SITE_GENERAL) {
        return (double)NAN;
    }
    return hr_propagation_area_coverage(edge_margin_db, site->abg ? site->alpha : site->n / 10.0, links->sigma_db);
}
