/*
 * why.c - budgets that add up, gateways by the rules, evidence that is
 * understood or refused, remedies that hold.
 *
 * SPDX-License-Identifier: MIT
 */
#include "diagnosis_tests.h"

static const hr_why_evidence nothing = {.quality = (double)NAN, .loss_percent = (double)NAN};

static hr_why_evidence bare(const made_site *site)
{
    hr_why_evidence e = nothing;
    e.siting = site->siting;
    e.no_remedies = true;
    return e;
}

void lines_add_up(void **state)
{
    (void)state;
    made_site sites[] = {make_site("quillhaven-lodge.ini", "lodge-gateways.csv", 1),
                         make_site("tern-house.ini", "tern-gateways.csv", 2)};
    for (size_t s = 0; s < 2; s++) {
        const hr_why_evidence e = bare(&sites[s]);
        for (uint32_t room = 0; room < sites[s].building->room_count; room += 7) {
            hr_why *why = site_why(&sites[s], room, &e);
            for (size_t i = 0; i < why->link_count; i++) {
                const hr_why_link *link = &why->links[i];
                const hr_device_row *row = &sites[s].siting->devices[link->device];
                int64_t sum = 0;
                assert_true(link->measured);
                for (size_t k = 0; k < link->budget.count; k++) {
                    check_near(link->budget.lines[k].db, hr_round(link->budget.lines[k].db, 4), 0.0);
                    sum += (int64_t)llround(link->budget.lines[k].db * 1e4);
                }
                assert_int_equal(sum, llround(link->budget.link_margin_db * 1e4));
                /* what rounding each line can move */
                check_near(link->budget.link_margin_db, row->link.link_margin_db, 5e-5 * (double)link->budget.count);
                check_near(link->spare_db, link->budget.link_margin_db - link->required_margin_db, 1e-9);
                assert_int_equal(link->budget.link.direction, row->link.direction);
            }
            hr_why_free(why);
        }
        drop_site(&sites[s]);
    }
}

void unknown_rooms(void **state)
{
    (void)state;
    made_site site = make_site("tern-house.ini", "tern-gateways.csv", 1);
    hr_error err = {0};
    uint32_t room = 0;
    assert_int_equal(hr_diagnosis_room(site.building, "214", &room, &err), HR_OK);
    assert_string_equal(site.building->rooms[room].name, "214");
    assert_int_equal(hr_diagnosis_room(site.building, "214/unit", &room, &err), HR_OK);
    assert_string_equal(site.building->rooms[room].name, "214");
    assert_int_equal(hr_diagnosis_room(site.building, "2144", &room, &err), HR_ERR_USAGE);
    assert_non_null(strstr(err.text, "did you mean 214?"));
    assert_int_equal(hr_diagnosis_room(site.building, "ballroom", &room, &err), HR_ERR_USAGE);
    drop_site(&site);
}

/* Without evidence: the shares of reference/causes.csv, that of as-predicted by the prediction. */
void priors_alone(void **state)
{
    (void)state;
    made_site site = make_site("quillhaven-lodge.ini", "lodge-gateways.csv", 1);
    uint32_t room = 0;
    assert_int_equal(hr_diagnosis_room(site.building, "305", &room, NULL), HR_OK);
    const hr_why_evidence e = bare(&site);
    hr_why *why = site_why(&site, room, &e);
    /* 34 dB to spare: as-predicted falls to 0.02 of its 0.3 */
    const double total = 0.14 + 0.12 + 0.08 + 0.18 + 0.10 + 0.06 + 0.08 + 0.02 * 0.3 + 0.10;
    check_near(cause_of(why, "enclosed-antenna"), 0.18 / total, 1e-6);
    check_near(cause_of(why, "not-powered"), 0.14 / total, 1e-6);
    check_near(cause_of(why, "as-predicted"), 0.02 * 0.3 / total, 1e-6);
    assert_string_equal(why->check, "look-at-control");
    assert_true(why->cannot_tell);
    double before = 1.0;
    int64_t billionths = 0;
    for (size_t i = 0; i < why->cause_count; i++) {
        assert_true(why->causes[i].probability <= before);
        before = why->causes[i].probability;
        billionths += llround(before * 1e9);
        assert_true(why->causes[i].words[0] != '\0' && why->causes[i].evidence[0] != '\0');
    }
    assert_int_equal(billionths, 1000000000);
    hr_why_free(why);
    drop_site(&site);
}

/* Common practice: the gateway with the most to spare; among those within 3 dB, the closest. */
void closest_within_3_db(void **state)
{
    (void)state;
    made_site site = make_site("tern-house.ini", "tern-gateways.csv", 1);
    const hr_why_evidence e = bare(&site);
    size_t closer = 0;
    for (uint32_t room = 0; room < site.building->room_count; room++) {
        hr_why *why = site_why(&site, room, &e);
        double most_db = -(double)INFINITY, best_db = (double)NAN, best_m = (double)NAN;
        for (size_t i = 0; i < why->gateway_count; i++) {
            const hr_why_gateway *g = &why->gateways[i];
            most_db = g->serves ? fmax(most_db, g->spare_db) : most_db;
            best_db = g->gateway == why->best ? g->spare_db : best_db;
            best_m = g->gateway == why->best ? g->distance_m : best_m;
        }
        assert_true(best_db >= most_db - 3.0 - 1e-6);
        for (size_t i = 0; i < why->gateway_count; i++) {
            const hr_why_gateway *g = &why->gateways[i];
            assert_false(g->serves && g->spare_db > most_db - 3.0 + 1e-6 && g->distance_m < best_m - 1e-6);
        }
        closer += best_db < most_db;
        assert_int_equal(why->best, why->planned); /* capacity leaves nobody out here */
        hr_why_free(why);
    }
    assert_true(closer > 0); /* the rule decided somewhere */
    drop_site(&site);
}

/* Common practice: no direct link beyond 100 ft. */
void beyond_100_feet(void **state)
{
    (void)state;
    made_site site = make_site("quillhaven-lodge.ini", "lodge-gateways.csv", 2);
    const hr_why_evidence e = bare(&site);
    size_t beyond = 0;
    for (uint32_t room = 0; room < site.building->room_count; room++) {
        hr_why *why = site_why(&site, room, &e);
        for (size_t i = 0; i < why->link_count; i++) {
            const hr_why_link *link = &why->links[i];
            if (link->within_range == 0) {
                assert_true(link->budget.link.distance_m > 30.48);
                assert_non_null(strstr(link->reason, "beyond the range limit"));
                assert_false(why->served);
                beyond++;
            } else if (link->within_range == 1) {
                assert_true(link->budget.link.distance_m <= 30.48);
            }
        }
        hr_why_free(why);
    }
    assert_true(beyond > 0);
    drop_site(&site);
}

void evidence_errors(void **state)
{
    (void)state;
    made_site site = make_site("tern-house.ini", "tern-gateways.csv", 1);
    static const char *const loud[] = {"loud"}, *const stranger[] = {"101/wall=-60"}, *const high[] = {"60"},
                      *const fine[] = {"-60"};
    uint32_t room = 0;
    hr_why_evidence wrong[9];
    for (size_t i = 0; i < 9; i++) {
        wrong[i] = bare(&site);
        wrong[i].rssi_count = i < 4;
    }
    wrong[0].rssi = loud;
    wrong[1].rssi = stranger;
    wrong[2].rssi = high;
    wrong[3].rssi = fine;
    wrong[3].not_heard = true;
    wrong[4].joined = "GW99";
    wrong[5].door = "ajar";
    wrong[6].quality = 2.0;
    wrong[7].quality_map = "1=-60";
    wrong[8].quality = 9.0;
    wrong[8].quality_map = "1=-80,3=-60";
    assert_int_equal(hr_diagnosis_room(site.building, "214", &room, NULL), HR_OK);
    for (size_t i = 0; i < 9; i++) {
        hr_why *why = NULL;
        hr_error err = {0};
        assert_int_equal(hr_diagnosis_why(site.links, site.building, room, &wrong[i], NULL, &why, &err), HR_ERR_USAGE);
        assert_null(why);
        assert_true(err.text[0] != '\0');
    }
    drop_site(&site);
}

/* Levels of a list, as differences from the prediction in the order they stand. */
static hr_why *with_levels(const made_site *site, uint32_t room, const char *const *ends, const double *beside_db, size_t count)
{
    char csv[2048];
    double levels[16] = {0};
    for (int pass = 0; pass < 2; pass++) {
        size_t used = (size_t)snprintf(csv, sizeof csv, "# length_unit = m\nfrom,to,rssi_dbm\n");
        for (size_t i = 0; i < count; i++) {
            char number[HR_FIXED_MAX];
            used += (size_t)snprintf(csv + used, sizeof csv - used, "%s,%s\n", ends[i],
                                     hr_fixed(pass == 0 ? -50.0 : levels[i], 3, number));
        }
        hr_readings *list = site_readings(site, csv);
        assert_int_equal(list->count, count);
        if (pass == 1) {
            hr_why_evidence e = bare(site);
            e.readings = list;
            hr_why *why = site_why(site, room, &e);
            hr_readings_free(list);
            return why;
        }
        hr_link_work work = {0};
        for (size_t i = 0; i < count; i++) {
            hr_link link;
            assert_int_equal(hr_readings_predict(list, site->links, &work, i, &link, &levels[i], NULL), HR_OK);
            levels[i] += beside_db[i];
        }
        hr_links_work_free(&work);
        hr_readings_free(list);
    }
    return NULL;
}

/* Common practice: an enclosed antenna is found before a wall is blamed. */
void enclosed_before_a_wall(void **state)
{
    (void)state;
    made_site site = make_site("quillhaven-lodge.ini", "lodge-gateways.csv", 1);
    static const char *const ends[] = {"305/wall,GW1", "305/wall,GW4", "305/unit,305/wall", "304/wall,GW1", "306/wall,GW1",
                                       "303/wall,GW1", "307/wall,GW1", "338/wall,GW1"};
    static const double low[] = {-20, -20, -20, 0, 0, 0, 0, 0};
    uint32_t room = 0;
    assert_int_equal(hr_diagnosis_room(site.building, "305", &room, NULL), HR_OK);
    for (size_t count = 1; count <= 8; count++) {
        hr_why *why = with_levels(&site, room, ends, low, count);
        assert_true(cause_of(why, "enclosed-antenna") > cause_of(why, "heavier-wall"));
        assert_string_not_equal(why->check, "either-side");
        if (count == 8) {
            assert_string_equal(why->causes[0].cause, "enclosed-antenna");
            assert_string_equal(why->check, "free-antenna");
            assert_false(why->cannot_tell);
            assert_true(cause_of(why, "enclosed-antenna") > 10.0 * cause_of(why, "heavier-wall"));
        }
        hr_why_free(why);
    }
    drop_site(&site);
}

/* Common practice: at least five readings before walls are blamed; then they can be. */
void five_levels_before_walls(void **state)
{
    (void)state;
    made_site site = make_site("quillhaven-lodge.ini", "lodge-gateways.csv", 1);
    static const char *const ends[] = {"305/wall,GW1", "305/wall,GW4", "304/wall,GW1", "306/wall,GW1"};
    uint32_t room = 0;
    assert_int_equal(hr_diagnosis_room(site.building, "305", &room, NULL), HR_OK);
    for (double db = -60.0; db <= 0.0; db += 4.0) {
        for (unsigned mask = 0; mask < 16; mask++) {
            double beside[4];
            for (unsigned i = 0; i < 4; i++) {
                beside[i] = (mask & (1U << i)) != 0 ? db : 0.0;
            }
            hr_why *why = with_levels(&site, room, ends, beside, 4);
            assert_string_not_equal(why->causes[0].cause, "heavier-wall");
            assert_string_not_equal(why->check, "either-side");
            hr_why_free(why);
        }
    }
    drop_site(&site);
}

/* Crossings of one wall by the link of a control to its gateway. */
static bool crosses(const made_site *site, hr_link_work *work, uint32_t device, uint32_t storey, uint32_t wall)
{
    const hr_sited_gateway *g = &site->siting->gateways[site->siting->devices[device].gateway];
    const hr_end child = hr_links_device_end(site->building, device);
    const hr_end parent = hr_links_gateway_end(site->building, g->at, g->z_m);
    hr_link link;
    bool found = false;
    assert_int_equal(hr_links_measure(site->links, work, &child, &parent, &link, NULL), HR_OK);
    for (size_t k = 0; k < work->item_count; k++) {
        found = found || (work->items[k].kind == HR_ITEM_WALL && work->items[k].storey == storey && work->items[k].index == wall);
    }
    return found;
}

/* A room, one wall on its way, and eight neighbours at its gateway, four of them behind the same wall. */
typedef struct walled {
    uint32_t room, control;
    char ends[11][48];
    double beside[11];
    size_t count;
} walled;

static bool find_walled(const made_site *site, uint32_t control, walled *w)
{
    const hr_building *b = site->building;
    const hr_siting *siting = site->siting;
    hr_link_work work = {0}, other = {0};
    (void)crosses(site, &work, control, 0, HR_PLAN_NONE);
    for (size_t k = 0; k < work.item_count; k++) {
        if (work.items[k].kind != HR_ITEM_WALL || !(work.items[k].loss_db > 0.0)) {
            continue;
        }
        size_t behind = 0, clear = 0;
        *w = (walled){.room = b->devices[control].room, .control = control};
        for (uint32_t d = 0; d < b->device_count; d++) {
            if (siting->devices[d].via != HR_SITING_NONE || siting->devices[d].gateway != siting->devices[control].gateway) {
                continue;
            }
            const bool same = crosses(site, &other, d, work.items[k].storey, work.items[k].index);
            if (d != control && (same ? behind : clear) == 4) {
                continue;
            }
            behind += same && d != control;
            clear += !same;
            w->beside[w->count] = same ? -15.0 : 0.0;
            (void)snprintf(w->ends[w->count++], sizeof w->ends[0], "%s,%s", b->devices[d].name,
                           siting->gateways[siting->devices[d].gateway].id);
        }
        if (behind == 4 && clear == 4) {
            (void)snprintf(w->ends[w->count++], sizeof w->ends[0], "%s/unit,%s", b->rooms[w->room].name, b->devices[control].name);
            hr_links_work_free(&work);
            hr_links_work_free(&other);
            return true;
        }
    }
    hr_links_work_free(&work);
    hr_links_work_free(&other);
    return false;
}

/* Behind one wall all are weak, the room's other link is as it should be: the wall. */
void a_wall_is_found(void **state)
{
    (void)state;
    made_site site = make_site("quillhaven-lodge.ini", "lodge-gateways.csv", 1);
    walled w = {0};
    size_t tried = 0;
    for (uint32_t d = 0; d < site.building->device_count && tried < 5; d++) {
        if (site.siting->devices[d].via != HR_SITING_NONE || !find_walled(&site, d, &w)) {
            continue;
        }
        const char *ends[11];
        for (size_t i = 0; i < w.count; i++) {
            ends[i] = w.ends[i];
        }
        hr_why *why = with_levels(&site, w.room, ends, w.beside, w.count);
        assert_string_equal(why->causes[0].cause, "heavier-wall");
        hr_why_free(why);
        tried++;
    }
    assert_int_equal(tried, 5);
    drop_site(&site);
}

void door_and_quality(void **state)
{
    (void)state;
    made_site site = make_site("tern-house.ini", "tern-gateways.csv", 1);
    static const char *const level[] = {"-70"};
    size_t doors = 0;
    for (uint32_t room = 0; room < site.building->room_count; room++) {
        hr_why_evidence e = bare(&site);
        e.rssi = level;
        e.rssi_count = 1;
        hr_why *shut = site_why(&site, room, &e);
        e.rssi_count = 0;
        e.door = "open";
        e.quality = 2.0;
        e.quality_map = "0=-100,1=-80,3=-60";
        hr_why *open = site_why(&site, room, &e);
        check_near(open->levels[0].level_dbm, -70.0, 1e-9);
        const double more_db = open->levels[0].predicted_dbm - shut->levels[0].predicted_dbm;
        double door_db = 0.0;
        for (size_t k = 0; k < shut->links[0].budget.count; k++) {
            const hr_budget_line *line = &shut->links[0].budget.lines[k];
            door_db += strncmp(line->item, "door: ", 6) == 0 ? -line->db : 0.0;
        }
        assert_true(more_db >= 0.0 && more_db <= door_db + 1e-3);
        doors += more_db > 0.0;
        hr_why_free(open);
        hr_why_free(shut);
    }
    assert_true(doors > 0);
    drop_site(&site);
}

/* The building with the gateway that a remedy names: the room has what the remedy promised. */
static void check_added(const char *property, const made_site *site, const hr_why *why, const hr_why_remedy *remedy)
{
    char id[64];
    size_t len = 0;
    const char *spot = strstr(remedy->words, "spot ");
    assert_non_null(spot);
    for (spot += 5; spot[len] != ',' && len + 1 < sizeof id; len++) {
        id[len] = spot[len];
    }
    id[len] = '\0';
    const hr_building *b = site->building;
    for (uint32_t s = 0; s < b->spot_count; s++) {
        if (strcmp(b->spots[s].id, id) != 0) {
            continue;
        }
        hr_building with = *b;
        hr_gateway gateways[32];
        hr_siting *siting = NULL;
        memcpy(gateways, b->gateways, b->gateway_count * sizeof *gateways);
        gateways[b->gateway_count] = gateways[0];
        gateways[b->gateway_count].id = "NEW";
        gateways[b->gateway_count].network_id = "99";
        gateways[b->gateway_count].spot = id;
        gateways[b->gateway_count].at = b->spots[s].at;
        gateways[b->gateway_count].z_m = b->spots[s].z_m;
        gateways[b->gateway_count].storey = b->spots[s].storey;
        with.gateways = gateways;
        with.gateway_count = b->gateway_count + 1;
        assert_int_equal(hr_siting_rooms(&with, NULL, NULL, &siting, NULL), HR_OK);
        assert_true(siting->rooms[why->room].served);
        double least_db = (double)INFINITY;
        for (size_t i = 0; i < why->link_count; i++) {
            least_db = fmin(least_db, siting->devices[why->links[i].device].link.spare_db);
        }
        check_near(remedy->spare_after_db, least_db, 1e-3);
        hr_siting_free(siting);
        return;
    }
    fail_msg("%s: no spot %s", property, id);
}

/* Unserved rooms: what is offered serves, as the engine computes it, in the stated order; no power, no other antenna. */
void remedies_hold(void **state)
{
    (void)state;
    made_site site = make_site("quillhaven-lodge.ini", "lodge-gateways.csv", 2);
    size_t added = 0, kinds = 0;
    for (uint32_t room = 0; room < site.building->room_count; room += 5) {
        if (site.siting->rooms[room].served) {
            continue;
        }
        hr_why_evidence e = bare(&site);
        e.no_remedies = false;
        hr_why *why = site_why(&site, room, &e);
        double rate = (double)INFINITY;
        for (size_t i = 0; i < why->remedy_count; i++) {
            const hr_why_remedy *r = &why->remedies[i];
            assert_true(r->gain_db / r->minutes <= rate + 1e-9);
            rate = r->gain_db / r->minutes;
            assert_null(strstr(r->words, "power"));
            assert_null(strstr(r->words, "dBi"));
            kinds += strcmp(r->kind, "move-control") == 0;
            if (strcmp(r->kind, "add-gateway") == 0 && added < 6) {
                check_added("Quillhaven", &site, why, r);
                added++;
            }
        }
        hr_why_free(why);
    }
    assert_true(added == 6 && kinds > 0);
    drop_site(&site);
}

/* What sits in a heating and cooling unit goes nowhere: to move it is offered for the wall control alone. */
void units_stay_where_they_are(void **state)
{
    (void)state;
    made_site site = make_site("quillhaven-lodge.ini", "lodge-gateways.csv", 2);
    for (int enclosed = 0; enclosed < 2; enclosed++) {
        size_t rooms = 0, moves = 0;
        for (uint32_t room = 0; room < site.building->room_count; room += 5) {
            hr_why_evidence e = bare(&site);
            e.no_remedies = false;
            hr_why *why = site_why(&site, room, &e);
            rooms += why->remedy_count > 0;
            for (size_t i = 0; i < why->remedy_count; i++) {
                moves += strcmp(why->remedies[i].kind, "move-control") == 0;
            }
            hr_why_free(why);
        }
        assert_true(rooms > 0);
        assert_int_equal(moves > 0, enclosed == 0);
        for (size_t kind = 0; kind < site.building->kind_count; kind++) {
            site.building->kinds[kind].enclosure = HR_ENCLOSURE_CASE;
        }
    }
    drop_site(&site);
}
