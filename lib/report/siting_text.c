/*
 * siting_text.c - `place` and `rooms` for people.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

static void add_head(const hr_building *building, const hr_siting *siting, hr_text *out)
{
    char number[HR_FIXED_MAX];
    hr_text_addf(out, "%s: radio coverage, ", building->name);
    hr_text_addf(out, "predicted by the %s model at ", hr_building_model_name((hr_model)building->radio.model));
    hr_text_addf(out, "%s MHz\n", hr_short(building->radio.frequency_mhz, 3, number));
    if (isfinite(siting->required_margin_db)) {
        hr_text_addf(out, "A link counts as served with a margin of %s dB ",
                     hr_fixed(siting->required_margin_db, 1, number));
    } else {
        hr_text_add(out, "A link counts as served with the margin that the spread of its own walls asks for ");
    }
    hr_text_addf(out, "(%s %% reliability)", hr_short(100.0 * building->radio.target_reliability, 2, number));
    if (isfinite(building->radio.range_limit_m)) {
        hr_text_addf(out, " within %s", hr_short(report_length(building, building->radio.range_limit_m), 2, number));
        hr_text_addf(out, " %s of its gateway", report_unit(building));
    }
    hr_text_add(out, ".\n\n");
}

static void add_unserved(const hr_building *building, const hr_siting *siting, hr_text *out)
{
    const size_t unserved = siting->device_count - siting->served_devices;
    if (unserved == 0) {
        return;
    }
    hr_text_addf(out, "Not served (%zu of %zu devices)\n", unserved, siting->device_count);
    static const char *const heads[] = {"device", "storey", "why"};
    report_table table;
    report_table_start(&table, heads, 3);
    for (size_t i = 0; i < siting->device_count; i++) {
        const hr_device_row *row = &siting->devices[i];
        if (!row->served) {
            report_table_cell(&table, building->devices[i].name);
            report_table_cell(&table, building->storeys[building->devices[i].storey].name);
            report_table_cell(&table, row->reason);
        }
    }
    report_table_end(&table, out);
    hr_text_add(out, "\n");
}

static void add_gateways(const hr_building *building, const hr_siting *siting, hr_text *out)
{
    hr_text_addf(out, "Gateways (%zu), lengths in %s\n", siting->gateway_count, report_unit(building));
    static const char *const heads[] = {"gateway", "storey", "spot",     ">x",      ">y",
                                        ">height", "network", ">devices", ">direct", ""};
    report_table table;
    report_table_start(&table, heads, 10);
    for (size_t i = 0; i < siting->gateway_count; i++) {
        const hr_sited_gateway *g = &siting->gateways[i];
        report_table_cell(&table, g->id);
        report_table_cell(&table, building->storeys[g->storey].name);
        report_table_cell(&table, g->spot);
        report_table_fixed(&table, report_length(building, g->at.x), 2);
        report_table_fixed(&table, report_length(building, g->at.y), 2);
        report_table_fixed(&table, report_length(building, g->mount_height_m), 2);
        report_table_cell(&table, g->network_id);
        report_table_count(&table, g->devices);
        report_table_count(&table, g->direct_devices);
        report_table_cell(&table, g->existing ? "existing" : "");
    }
    report_table_end(&table, out);
    hr_text_add(out, "\n");
}

static void add_rooms(const hr_building *building, const hr_siting *siting, hr_text *out)
{
    hr_text_addf(out, "Rooms (%zu), each by its worst device; dB\n", siting->room_count);
    static const char *const heads[] = {"room", "storey", "gateway", "worst device", ">hops", ">margin", ">spare", "served"};
    report_table table;
    report_table_start(&table, heads, 8);
    for (size_t i = 0; i < siting->room_count; i++) {
        const hr_room_row *room = &siting->rooms[i];
        const hr_room *known = &building->rooms[room->room];
        const bool empty = room->device_row == HR_SITING_NONE;
        const hr_device_row *worst = empty ? NULL : &siting->devices[room->device_row];
        report_table_cell(&table, known->name);
        report_table_cell(&table, building->storeys[known->storey].name);
        report_table_cell(&table, empty || worst->gateway == HR_SITING_NONE ? NULL : siting->gateways[worst->gateway].id);
        report_table_cell(&table, empty ? "no device" : building->devices[worst->device].name);
        if (empty || worst->hops == 0) {
            report_table_cell(&table, NULL);
        } else {
            report_table_count(&table, worst->hops);
        }
        report_table_fixed(&table, empty || !worst->has_link ? REPORT_UNKNOWN : worst->link.link_margin_db, 1);
        report_table_fixed(&table, empty ? REPORT_UNKNOWN : report_rounded_spare(siting, room->device_row), 1);
        report_table_cell(&table, empty ? "-" : room->served ? "yes" : "NO");
    }
    report_table_end(&table, out);
    hr_text_add(out, "\n");
}

/* What the proof covers, and what was only improved. */
static void add_proof_scope(const hr_building *building, const hr_siting *siting, hr_text *out)
{
    char number[HR_FIXED_MAX];
    double cost = 0.0;
    for (size_t i = 0; i < siting->gateway_count; i++) {
        cost += siting->gateways[i].spot_cost;
    }
    hr_text_add(out, "The count is what is proved; ");
    if (building->gateway_kind.spot_cost_count > 0) {
        hr_text_addf(out, "the cost of the spots (%s), ", hr_short(cost, 3, number));
    }
    hr_text_add(out, "the smallest spare and the mean are improved, not proved.\n");
}

void report_add_summary(const hr_building *building, const hr_siting *siting, hr_text *out)
{
    size_t served_rooms = 0;
    for (size_t i = 0; i < siting->room_count; i++) {
        served_rooms += siting->rooms[i].served;
    }
    char number[HR_FIXED_MAX];
    hr_text_addf(out, "%zu of %zu rooms and %zu of %zu devices served; ", served_rooms, siting->room_count,
                 siting->served_devices, siting->device_count);
    hr_text_addf(out, "rooms expected to fail in spite of their margin: %s\n",
                 hr_fixed(siting->expected_failing_rooms, 1, number));
    if (!siting->placed) {
        return;
    }
    const char *plural = siting->gateway_count == 1 ? "" : "s";
    if (siting->at_most > 0) {
        hr_text_addf(out, "%zu gateway%s, as --at-most asks%s; serving all that can be served takes at least %zu\n",
                     siting->gateway_count, plural, siting->most_proved ? ": no choice of so many serves more (proved)" : "",
                     (size_t)siting->lower_bound);
    } else if (siting->without_room > 0) {
        hr_text_addf(out, "%zu gateways, and %zu devices in their reach find them or the relays full; at least %zu are needed\n",
                     siting->gateway_count, siting->without_room, (size_t)siting->lower_bound);
    } else if (siting->proved_fewest) {
        hr_text_addf(out, "%zu gateway%s: the fewest possible for this model and these %zu spots (proved)\n",
                     siting->gateway_count, plural, siting->spots_considered);
    } else {
        hr_text_addf(out, "%zu gateway%s: at most %zu more than the fewest possible for this model and these %zu spots\n",
                     siting->gateway_count, plural, siting->gateway_count - (size_t)siting->lower_bound,
                     siting->spots_considered);
    }
    add_proof_scope(building, siting, out);
    if (siting->clock_stopped) {
        hr_text_add(out, "the clock ended the search: another run may differ; raise --seconds\n");
    }
}

hr_status hr_report_siting_text(const hr_building *building, const hr_siting *siting, hr_text *out, hr_error *err)
{
    add_head(building, siting, out);
    add_unserved(building, siting, out);
    report_add_without(building, siting, out);
    add_gateways(building, siting, out);
    report_add_mounting(building, siting, out);
    add_rooms(building, siting, out);
    report_add_mesh(building, siting, out);
    report_add_closest(building, siting, out);
    report_add_reasons(siting, out);
    report_add_tables(building, siting, out);
    report_add_summary(building, siting, out);
    hr_text_addf(out, "%s%s\n", building->radio.rule[0] == '\0' ? "Radio limit not checked: no `rule` is set.\n" : "",
                 hr_report_caution());
    hr_text_add(out, "Local codes and licensed practice decide; `hallreach --help` has the cautions in full.\n");
    return report_done(out, err);
}
