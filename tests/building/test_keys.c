/*
 * test_keys.c - the key table and values: types, ranges, defaults, what this
 * version does not have yet.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_test.h"

static void test_table_is_whole(void **state)
{
    (void)state;
    assert_true(hr_building_key_count() > 70);
    assert_null(hr_building_key(hr_building_key_count()));
    for (size_t i = 0; i < hr_building_key_count(); i++) {
        const hr_key *key = hr_building_key(i);
        assert_non_null(key->section);
        assert_non_null(key->key);
        assert_non_null(key->unit);
        assert_non_null(key->choices);
        assert_non_null(key->reason);
        if (key->meaning == NULL || strlen(key->meaning) < 10) {
            fail_msg("[%s] %s says nothing of its meaning", key->section, key->key);
        }
        /* a default in force carries a reason */
        if (key->fallback != NULL && key->fallback[0] != '\0' && key->reason[0] == '\0') {
            fail_msg("[%s] %s has a default without a reason", key->section, key->key);
        }
        if (key->type == HR_KEY_NUMBER || key->type == HR_KEY_LENGTH || key->type == HR_KEY_INTEGER) {
            assert_true(key->low < key->high);
        }
        for (size_t k = 0; k < i; k++) {
            const hr_key *other = hr_building_key(k);
            assert_false(strcmp(key->section, other->section) == 0 && strcmp(key->key, other->key) == 0);
        }
    }
}

/* Every default of the table lies in its own range: a file that writes it out reads. */
static void test_defaults_are_valid(void **state)
{
    (void)state;
    for (size_t i = 0; i < hr_building_key_count(); i++) {
        const hr_key *key = hr_building_key(i);
        double value = 0.0;
        if (key->fallback == NULL || !hr_number_parse(key->fallback, &value) || key->type == HR_KEY_TEXT) {
            continue;
        }
        if (!(value >= key->low && value <= key->high)) {
            fail_msg("[%s] %s: default %s outside its range", key->section, key->key, key->fallback);
        }
    }
}

/* Source: the tables "A link", "Hops" and "Keys" of the model this library implements. */
static void test_defaults_in_force(void **state)
{
    (void)state;
    reading r = reads(HEAD STOREY);
    const hr_radio *radio = &r.b->radio;
    assert_int_equal(radio->model, HR_MODEL_MULTI_WALL);
    check_near(radio->target_reliability, 0.95, 0.0);
    check_near(radio->minimum_margin_db, 10.0, 0.0);
    check_near(radio->shadowing_db, 5.8, 0.0);
    check_near(radio->time_variation_db, 5.0, 0.0);
    check_near(radio->noise_rise_db, 3.0, 0.0);
    check_near(radio->exponent, 2.0, 0.0);
    check_near(radio->range_limit_m, 30.48, 0.0);
    assert_int_equal(radio->cover, 1);
    assert_int_equal(radio->max_hops, 1);
    assert_int_equal(radio->first_devices, 3);
    assert_int_equal(radio->max_children, 10);
    assert_int_equal(radio->max_slabs, 1);
    check_near(radio->wall_saturation, 0.0, 0.0);
    assert_false(radio->count_spreads);
    assert_false(radio->strict);
    assert_string_equal(radio->environment, "");
    assert_string_equal(radio->rule, "");
    assert_true(isnan(radio->messages_per_hour) && isnan(radio->airtime_ms));
    const hr_gateway_kind *g = &r.b->gateway_kind;
    check_near(g->radio.tx_power_dbm, 14.0, 0.0);
    check_near(g->radio.antenna_gain_dbi, 0.0, 0.0);
    check_near(g->radio.sensitivity_dbm, -100.0, 0.0);
    check_near(g->radio.mount_height_m, 2.1, 0.0);
    check_near(g->radio.tilt_deg, 0.0, 0.0);
    assert_int_equal(g->radio.pattern, HR_PATTERN_EVEN);
    assert_int_equal(g->capacity, 100);
    check_near(g->metal_clearance_m, 1.0, 0.0);
    check_near(g->spot_spacing_m, 2.0, 0.0);
    check_near(g->door_clearance_m, 0.5, 0.0);
    check_near(g->cable_limit_m, 90.0, 0.0);
    check_near(g->cable_slack_m, 3.0, 0.0);
    check_near(g->cable_drop_m, 3.0, 0.0);
    assert_string_equal(g->network_id, "");
    assert_int_equal(g->spot_cost_count, 0);
    check_near(r.b->estimate.confidence, 0.9, 0.0);
    check_near(r.b->estimate.served_share, 0.98, 0.0);
    assert_int_equal(r.b->estimate.draws, 200);
    assert_int_equal(r.b->estimate.seed, 1);
    assert_int_equal(r.b->estimate.battery_months, 16);
    assert_true(isnan(r.b->fitted.offset_db) && isnan(r.b->fitted.exponent) && isnan(r.b->fitted.shadowing_db) &&
                isnan(r.b->fitted.floor_loss_db));
    done(&r);
}

static void test_implied_kind(void **state)
{
    (void)state;
    reading r = reads(HEAD STOREY);
    assert_int_equal(r.b->kind_count, 1);
    const hr_device_kind *k = &r.b->kinds[0];
    assert_string_equal(k->name, "wall");
    assert_true(k->implied);
    assert_int_equal(k->power, HR_POWER_BATTERY);
    assert_false(k->relays);
    assert_int_equal(k->enclosure, HR_ENCLOSURE_NONE);
    assert_int_equal(k->joins, HR_JOINS_GATEWAY);
    assert_int_equal(k->per_room, 1);
    check_near(k->radio.tx_power_dbm, 10.0, 0.0);
    check_near(k->radio.sensitivity_dbm, -100.0, 0.0);
    check_near(k->radio.mount_height_m, 1.2, 0.0);
    check_near(k->accept_pass_db, 15.0, 0.0);
    check_near(k->accept_fail_db, 10.0, 0.0);
    done(&r);
}

static double noise_at(const char *mhz)
{
    char text[256];
    (void)snprintf(text, sizeof text, "[property]\nname = T\nlength_unit = m\n[radio]\nfrequency_mhz = %s\n" STOREY,
                   mhz);
    reading r = reads(text);
    const double noise_db = r.b->radio.noise_rise_db;
    done(&r);
    return noise_db;
}

/* 3 dB below 1 GHz, 10 dB at 2.4 GHz: assumed; between them linear in log frequency, to 0.1 dB. */
static void test_noise_rise_by_frequency(void **state)
{
    (void)state;
    check_near(noise_at("433"), 3.0, 0.0);
    check_near(noise_at("1000"), 3.0, 0.0);
    check_near(noise_at("2400"), 10.0, 0.0);
    check_near(noise_at("5800"), 10.0, 0.0);
    /* the geometric middle of 1000 and 2400 MHz is 1549.2 MHz: half way, 6.5 dB */
    check_near(noise_at("1549.2"), 6.5, 1e-9);
    reading r = reads(HEAD "noise_rise_db = 4.5\n" STOREY);
    check_near(r.b->radio.noise_rise_db, 4.5, 0.0);
    done(&r);
}

static void test_ranges(void **state)
{
    (void)state;
    refuse("[property]\nname = T\nlength_unit = m\n[radio]\nfrequency_mhz = 299.9\n" STOREY, HR_ERR_INPUT, 5,
           "300 to 6000 MHz");
    refuse("[property]\nname = T\nlength_unit = m\n[radio]\nfrequency_mhz = 6000.1\n" STOREY, HR_ERR_INPUT, 5,
           "300 to 6000");
    refuse("[property]\nname = T\nlength_unit = m\n[radio]\nfrequency_mhz = nan\n" STOREY, HR_ERR_INPUT, 5, "number");
    refuse("[property]\nname = T\nlength_unit = m\n[radio]\nfrequency_mhz = 1e999\n" STOREY, HR_ERR_INPUT, 5, "number");
    refuse("[property]\nname = T\nlength_unit = m\n[radio]\nfrequency_mhz = 915 MHz\n" STOREY, HR_ERR_INPUT, 5,
           "frequency_mhz = 915 MHz: a number");
    refuse(HEAD "target_reliability = 95\n" STOREY, HR_ERR_INPUT, 6, "0.5 to 0.9999");
    refuse(HEAD "max_slabs = 1.5\n" STOREY, HR_ERR_INPUT, 6, "a whole number from 0 to 200");
    refuse(HEAD "max_slabs = -1\n" STOREY, HR_ERR_INPUT, 6, "a whole number");
    refuse(HEAD "strict = maybe\n" STOREY, HR_ERR_INPUT, 6, "yes or no was expected");
    refuse(HEAD "range_limit = -3\n" STOREY, HR_ERR_INPUT, 6, "a length from 0.1 to 100000 m or none");
    refuse(HEAD "[gateway]\nsensitivity_dbm = 100\n" STOREY, HR_ERR_INPUT, 7, "-200 to 0 dBm");
    refuse(HEAD "[gateway]\nmount_height = 2,1\n" STOREY, HR_ERR_INPUT, 7, "a length");
    refuse(HEAD "wall_saturation = 0\n" STOREY, HR_ERR_INPUT, 6, "or off");
    refuse(HEAD "rule = 0123456789012345678901234567890123456789012345678\n" STOREY, HR_ERR_INPUT, 6,
           "at most 47 bytes");
    /* the ends of a range belong to it */
    reading r = reads("[property]\nname = T\nlength_unit = m\n[radio]\nfrequency_mhz = 300\nmax_slabs = 200\n" STOREY);
    done(&r);
    r = reads("[property]\nname = T\nlength_unit = m\n[radio]\nfrequency_mhz = 6000\n" STOREY);
    done(&r);
}

static void test_required_keys(void **state)
{
    (void)state;
    refuse("[property]\nname = T\n[radio]\nfrequency_mhz = 915\n" STOREY, HR_ERR_INPUT, 1, "unit missing");
    refuse("[property]\nlength_unit = m\n[radio]\nfrequency_mhz = 915\n" STOREY, HR_ERR_INPUT, 1, "has no name");
    refuse("[property]\nname = T\nlength_unit = m\n[radio]\n" STOREY, HR_ERR_INPUT, 4, "has no frequency_mhz");
    refuse("[property]\nname = T\nlength_unit = m\n" STOREY, HR_ERR_INPUT, 0, "[radio] has no frequency_mhz");
    refuse("[property]\nname = T\nlength_unit = yards\n", HR_ERR_INPUT, 3, "m or ft was expected");
    refuse(HEAD, HR_ERR_INPUT, 0, "no [storey ...] section");
    refuse(HEAD "[device wall]\npower = battery\n" STOREY, HR_ERR_INPUT, 6, "[device wall] has no relays");
}

static void test_words_beside_numbers(void **state)
{
    (void)state;
    reading r = reads(HEAD "range_limit = none\nwall_saturation = OFF\n" STOREY);
    assert_true(isinf(r.b->radio.range_limit_m) && r.b->radio.range_limit_m > 0.0);
    check_near(r.b->radio.wall_saturation, 0.0, 0.0);
    done(&r);
    refuse(HEAD "exponent = none\n" STOREY, HR_ERR_INPUT, 6, "a number from 1 to 6 was expected");
}

static void test_feet(void **state)
{
    (void)state;
    reading r = reads("[property]\nname = T\nlength_unit = ft\n[radio]\nfrequency_mhz = 915\nrange_limit = 100\n"
                      "[gateway]\nmount_height = 7\n[storey 1]\nplan = two.svg\nfloor_to_floor = 10\n");
    check_near(r.b->radio.range_limit_m, 30.48, 1e-12);
    check_near(r.b->gateway_kind.radio.mount_height_m, 2.1336, 1e-12);
    check_near(r.b->gateway_kind.metal_clearance_m, 1.0, 0.0); /* defaults stay in metres */
    check_near(r.b->storeys[0].floor_to_floor_m, 3.048, 1e-12);
    done(&r);
    /* ranges are told in the file's own unit; 100 m are 328.084 ft */
    refuse(
        "[property]\nname = T\nlength_unit = ft\n[radio]\nfrequency_mhz = 915\n[gateway]\nmount_height = 400\n" STOREY,
        HR_ERR_INPUT, 7, "0 to 328.084 ft");
}

static void test_spot_costs(void **state)
{
    (void)state;
    reading r = reads(HEAD "[gateway]\nspot_cost = network closet  0.5\nspot_cost = corridor 2\n" STOREY);
    const hr_gateway_kind *g = &r.b->gateway_kind;
    assert_int_equal(g->spot_cost_count, 2);
    assert_string_equal(g->spot_costs[0].label, "network closet");
    check_near(g->spot_costs[0].cost, 0.5, 0.0);
    assert_string_equal(g->spot_costs[1].label, "corridor");
    check_near(g->spot_costs[1].cost, 2.0, 0.0);
    done(&r);
    refuse(HEAD "[gateway]\nspot_cost = closet\n" STOREY, HR_ERR_INPUT, 7, "LABEL COST was expected");
    refuse(HEAD "[gateway]\nspot_cost = closet -1\n" STOREY, HR_ERR_INPUT, 7, "costs from 0 to 1000000");
    refuse(HEAD "[gateway]\nspot_cost = a 1\nspot_cost = A 2\n" STOREY, HR_ERR_INPUT, 8, "has a cost already");
}

static void test_ranges_come_first(void **state)
{
    (void)state;
    refuse(HEAD "max_hops = 0\n" STOREY, HR_ERR_INPUT, 6, "a whole number from 1 to 20");
}

/* Own materials by loss, by stack, by both; with spreads counted less is left unexplained. */
static void test_own_stacks_and_spreads(void **state)
{
    (void)state;
    reading r = reads(HEAD "count_spreads = yes\nwall_saturation = 0.8\n[material x]\nlayers = plasterboard 12.5\n"
                           "[material y]\nlayers = brick 110\nloss_db = 7\nspread_db = 2\n" STOREY);
    const hr_material *x = hr_materials_get(r.b->materials, hr_materials_find(r.b->materials, "x"));
    const hr_material *y = hr_materials_get(r.b->materials, hr_materials_find(r.b->materials, "y"));
    assert_string_equal(x->layers, "plasterboard 12.5");
    assert_true(isnan(x->loss_db[HR_USE_WALL]));
    assert_string_equal(y->layers, "brick 110");
    check_near(y->loss_db[HR_USE_WALL], 7.0, 0.0);
    check_near(y->spread_db[HR_USE_WALL], 2.0, 0.0);
    check_near(r.b->radio.shadowing_db, 4.0, 0.0);
    check_near(r.b->radio.wall_saturation, 0.8, 0.0);
    done(&r);
    reading stated = reads(HEAD "count_spreads = yes\nshadowing_db = 6\n" STOREY);
    check_near(stated.b->radio.shadowing_db, 6.0, 0.0);
    done(&stated);
    refuse(HEAD "[material x]\nlayers = steam 5\n" STOREY, HR_ERR_INPUT, 6, "no permittivity is tabled for 'steam'");
    refuse(HEAD "[material x]\nspread_db = 5\n" STOREY, HR_ERR_INPUT, 6, "layers = MATERIAL MM");
}

static void test_models(void **state)
{
    (void)state;
    static const char *const names[] = {"multi-wall", "routes", "site-general"};
    char text[512];
    for (int i = 0; i < 3; i++) {
        (void)snprintf(text, sizeof text, HEAD "model = %s\nenvironment = house\n" STOREY, names[i]);
        reading r = reads(text);
        assert_int_equal(r.b->radio.model, i);
        assert_string_equal(r.b->radio.environment, "house");
        done(&r);
    }
}

static void test_antennas_and_cases(void **state)
{
    (void)state;
    static const struct {
        const char *word;
        int enclosure;
    } cases[] = {{"none", HR_ENCLOSURE_NONE},     {"case", HR_ENCLOSURE_CASE}, {"enclosed", HR_ENCLOSURE_ENCLOSED},
                 {"facing", HR_ENCLOSURE_FACING}, {"side", HR_ENCLOSURE_SIDE}, {"away", HR_ENCLOSURE_AWAY}};
    char text[512];
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        (void)snprintf(text, sizeof text,
                       HEAD "[gateway]\npattern = dipole\ntilt = 30\n[device wall]\npower = mains\nrelays = no\n"
                            "pattern = dipole\ntilt = 90\nenclosure = %s\n" STOREY,
                       cases[i].word);
        reading r = reads(text);
        assert_int_equal(r.b->gateway_kind.radio.pattern, HR_PATTERN_DIPOLE);
        check_near(r.b->gateway_kind.radio.tilt_deg, 30.0, 0.0);
        assert_int_equal(r.b->kinds[0].radio.pattern, HR_PATTERN_DIPOLE);
        check_near(r.b->kinds[0].radio.tilt_deg, 90.0, 0.0);
        assert_int_equal(r.b->kinds[0].enclosure, cases[i].enclosure);
        done(&r);
    }
    refuse(HEAD "[gateway]\ntilt = 91\n" STOREY, HR_ERR_INPUT, 7, "0 to 90");
}

static double wall_loss(const reading *r, const char *name, hr_material_use use)
{
    return hr_materials_loss_db(r->b->materials, hr_materials_find(r->b->materials, name), use, NULL);
}

/* What a fit found stands in place of [radio] and the tables; --set stands above it. */
static void fitted_overrides(void **state)
{
    (void)state;
    static const char text[] = HEAD "exponent = 1.9\n[fitted]\noffset_db = -2.5\nexponent = 2.4\nshadowing_db = 4.5\n"
                                    "floor_loss_db = 17.25\nmaterial = brick-100 7.5\nmaterial = concrete-200  11\n"
                                    "gateway_offset = GW 1 -3\n[material mine]\nloss_db = 3\n" STOREY;
    reading r = reads(text);
    const reading without = reads(HEAD STOREY);
    check_near(r.b->radio.exponent, 2.4, 0.0);
    check_near(r.b->radio.shadowing_db, 4.5, 0.0);
    check_near(r.b->fitted.offset_db, -2.5, 0.0);
    check_near(wall_loss(&r, "brick-100", HR_USE_WALL), 7.5, 0.0);
    check_near(wall_loss(&r, "brick-100", HR_USE_OPENING), 7.5, 0.0);
    check_near(wall_loss(&r, "concrete-200", HR_USE_WALL), 11.0, 0.0);
    check_near(wall_loss(&r, "concrete-200", HR_USE_FLOOR), 17.25, 0.0);
    check_near(wall_loss(&r, "mine", HR_USE_WALL), 3.0, 0.0);
    check_near(wall_loss(&r, "plasterboard", HR_USE_WALL), wall_loss(&without, "plasterboard", HR_USE_WALL), 0.0);
    check_near(hr_materials_spread_db(r.b->materials, hr_materials_find(r.b->materials, "brick-100"), HR_USE_WALL),
               hr_materials_spread_db(without.b->materials, hr_materials_find(without.b->materials, "brick-100"),
                                      HR_USE_WALL),
               0.0);
    assert_int_equal(r.b->fitted.gateway_offset_count, 1);
    assert_string_equal(r.b->fitted.gateway_offsets[0].label, "GW 1");
    check_near(r.b->fitted.gateway_offsets[0].cost, -3.0, 0.0);
    done(&r);
    const char *sets[] = {"radio.exponent=3", "radio.shadowing_db=7", "material brick-100.loss_db=5", "fitted.offset_db=1"};
    const hr_building_options by_hand = {.sets = sets, .set_count = 4};
    r = read_with(text, &by_hand);
    assert_int_equal(r.status, HR_OK);
    check_near(r.b->radio.exponent, 3.0, 0.0);
    check_near(r.b->radio.shadowing_db, 7.0, 0.0);
    check_near(r.b->fitted.offset_db, 1.0, 0.0);
    check_near(wall_loss(&r, "brick-100", HR_USE_WALL), 5.0, 0.0);
    check_near(wall_loss(&r, "concrete-200", HR_USE_WALL), 11.0, 0.0);
    done(&r);
    const hr_building_options none = {.no_fitted = true};
    r = read_with(text, &none);
    assert_int_equal(r.status, HR_OK);
    check_near(r.b->radio.exponent, 1.9, 0.0);
    assert_true(isnan(r.b->fitted.offset_db) && r.b->fitted.material_count == 0);
    check_near(wall_loss(&r, "brick-100", HR_USE_WALL), wall_loss(&without, "brick-100", HR_USE_WALL), 0.0);
    done(&r);
    reading rest = without;
    done(&rest);
}

static void fitted_refusals(void **state)
{
    (void)state;
    static const struct {
        const char *line, *words;
    } rows[] = {{"material = brick-100", "NAME LOSS_DB was expected"}, {"material = brick-100 -1", "NAME LOSS_DB"},
                {"material = brick-10 5", "did you mean brick-100?"},  {"gateway_offset = GW1 x", "ID DB was expected"},
                {"gateway_offset = 3", "ID DB was expected"},          {"exponent = 7", "a number from 1 to 6"},
                {"shadowing_db = 0", "a number from 0.1 to 30"}};
    char text[512];
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        (void)snprintf(text, sizeof text, HEAD "[fitted]\n%s\n" STOREY, rows[i].line);
        refuse(text, HR_ERR_INPUT, 7, rows[i].words);
    }
    refuse(HEAD "[fitted]\nmaterial = brick-100 5\nmaterial = Brick-100 6\n" STOREY, HR_ERR_INPUT, 8, "already");
}

static void test_values_that_work_now(void **state)
{
    (void)state;
    reading r = reads(HEAD "model = multi-wall\nwall_saturation = off\ncount_spreads = no\ncover = 1\nmax_hops = 1\n"
                           "strict = yes\n[gateway]\npattern = even\ntilt = 0.0\nnetwork_id = A-7\n[fitted]\n"
                           "[estimate]\nseed = 42\ndraws = 50\n[device wall]\npower = mains\nrelays = yes\n"
                           "enclosure = none\n" STOREY);
    assert_true(r.b->radio.strict);
    assert_string_equal(r.b->gateway_kind.network_id, "A-7");
    assert_int_equal(r.b->estimate.seed, 42);
    assert_int_equal(r.b->estimate.draws, 50);
    assert_false(r.b->kinds[0].implied);
    done(&r);
    refuse(HEAD "[estimate]\ndraws = 0\n" STOREY, HR_ERR_INPUT, 7, "a whole number from 1 to 1000000");
}

static void test_choice_suggestion(void **state)
{
    (void)state;
    refuse(HEAD "model = multiwall\n" STOREY, HR_ERR_INPUT, 6, "did you mean multi-wall?");
    refuse(HEAD "[device wall]\npower = batery\nrelays = no\n" STOREY, HR_ERR_INPUT, 7, "did you mean battery?");
    refuse(HEAD "model = guess\n" STOREY, HR_ERR_INPUT, 6, "multi-wall, routes or site-general was expected");
}

static void test_lenient_frequency(void **state)
{
    (void)state;
    const hr_building_options lenient = {.lenient = true};
    reading r = read_with("[property]\nname = T\nlength_unit = m\n" STOREY, &lenient);
    assert_int_equal(r.status, HR_OK);
    assert_true(r.b->frequency_assumed);
    check_near(r.b->radio.frequency_mhz, 915.0, 0.0);
    expect_note(&r, "no frequency_mhz in [radio]; losses are shown at 915 MHz");
    done(&r);
    r = reads(HEAD STOREY);
    assert_false(r.b->frequency_assumed);
    done(&r);
}

static void test_model_names(void **state)
{
    (void)state;
    assert_string_equal(hr_building_model_name(HR_MODEL_MULTI_WALL), "multi-wall");
    assert_string_equal(hr_building_model_name(HR_MODEL_ROUTES), "routes");
    assert_string_equal(hr_building_model_name(HR_MODEL_SITE_GENERAL), "site-general");
}

const struct CMUnitTest key_tests[] = {
    cmocka_unit_test(fitted_overrides),
                                       cmocka_unit_test(fitted_refusals),
                                       cmocka_unit_test(test_table_is_whole),
                                       cmocka_unit_test(test_defaults_are_valid),
                                       cmocka_unit_test(test_defaults_in_force),
                                       cmocka_unit_test(test_implied_kind),
                                       cmocka_unit_test(test_noise_rise_by_frequency),
                                       cmocka_unit_test(test_ranges),
                                       cmocka_unit_test(test_required_keys),
                                       cmocka_unit_test(test_words_beside_numbers),
                                       cmocka_unit_test(test_feet),
                                       cmocka_unit_test(test_spot_costs),
                                       cmocka_unit_test(test_ranges_come_first),
                                       cmocka_unit_test(test_own_stacks_and_spreads),
                                       cmocka_unit_test(test_antennas_and_cases),
                                       cmocka_unit_test(test_models),
                                       cmocka_unit_test(test_values_that_work_now),
                                       cmocka_unit_test(test_choice_suggestion),
                                       cmocka_unit_test(test_lenient_frequency),
                                       cmocka_unit_test(test_model_names)};
const size_t key_test_count = COUNT_OF(key_tests);
