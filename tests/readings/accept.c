/*
 * accept.c - installed devices judged: which reading counts, by which level,
 * and what they joined.
 *
 * SPDX-License-Identifier: MIT
 */
#include "readings_tests.h"
#include "hr_siting.h"

/* A judgement kept with what it points into. */
typedef struct judged {
    hr_readings *readings;
    hr_siting *siting;
    hr_acceptance *a;
} judged;

static judged judge(made *m, const char *text)
{
    judged j = {.readings = list(m, text)};
    assert_int_equal(hr_siting_rooms(m->b, &(hr_siting_options){0}, m->notes, &j.siting, NULL), HR_OK);
    assert_int_equal(hr_diagnosis_accept(j.readings, j.siting, &j.a, NULL), HR_OK);
    assert_int_equal(j.a->count, m->b->device_count);
    size_t sum = 0;
    for (int v = 0; v < HR_VERDICT_COUNT; v++) {
        sum += j.a->verdicts[v];
    }
    assert_int_equal(sum, j.a->count);
    return j;
}

static void forget(judged *j)
{
    hr_acceptance_free(j->a);
    hr_siting_free(j->siting);
    hr_readings_free(j->readings);
}

static const hr_acceptance_row *row(const made *m, const judged *j, const char *device)
{
    const uint32_t index = hr_building_device(m->b, device);
    assert_true(index != UINT32_MAX);
    assert_int_equal(j->a->rows[index].device, index);
    return &j->a->rows[index];
}

static void check(const made *m, const judged *j, const char *device, hr_verdict verdict, const char *remark)
{
    const hr_acceptance_row *r = row(m, j, device);
    if (r->verdict != verdict || (remark == NULL ? r->remark[0] != '\0' : strstr(r->remark, remark) == NULL)) {
        fail_msg("%s: %s, '%s'; expected %s, '%s'", device, hr_verdict_name(r->verdict), r->remark,
                 hr_verdict_name(verdict), remark == NULL ? "" : remark);
    }
}

/* Sensitivity -100 dBm at both ends, devices send with 10 dBm and gateways with 14: pass from 15 dB, fail below 10. */
void verdicts_by_level(void **state)
{
    (void)state;
    made m = make("");
    judged j = judge(&m, "from,to,rssi_dbm,loss_percent,threshold_dbm\n"
                         "101,GWA@1,-85,,\n"      /* 15 dB: the limit passes */
                         "102,GWA@1,-85.01,,\n"   /* just under */
                         "201,GWA@2,-90,10,\n"    /* 10 dB is weak still */
                         "202,GWA@2,-90.01,,\n"   /* and no more */
                         "105,GWB@1,-60,10.1,\n"  /* strong, but packets get lost */
                         "205,GWB@2,,,\n"         /* not heard */
                         "204,GWB@2,,,-85\n"      /* not heard by a deaf receiver */
                         "GWB@1,104,-84,,\n");    /* 16 dB down, by the powers 12 dB up */
    check(&m, &j, "101/wall", HR_VERDICT_PASS, NULL);
    check_near(row(&m, &j, "101/wall")->over_db, 15.0, 1e-9);
    check(&m, &j, "102/wall", HR_VERDICT_WEAK, NULL);
    check(&m, &j, "201/wall", HR_VERDICT_WEAK, NULL);
    check(&m, &j, "202/wall", HR_VERDICT_FAIL, NULL);
    check(&m, &j, "105/wall", HR_VERDICT_WEAK, "10.1 % of the packets");
    check(&m, &j, "205/wall", HR_VERDICT_FAIL, "not heard in line 7");
    check(&m, &j, "204/wall", HR_VERDICT_NOT_READ, "threshold is too high");
    check(&m, &j, "104/wall", HR_VERDICT_PASS, "comes to 12.0 dB");
    check(&m, &j, "103/wall", HR_VERDICT_NOT_READ, NULL);
    assert_true(isnan(row(&m, &j, "205/wall")->over_db) && isnan(row(&m, &j, "101/wall")->loss_percent));
    forget(&j);
    drop(&m);
    /* limits of its own, above the far end's own sensitivity */
    m = make("[device loud]\npower = mains\nrelays = no\nsensitivity_dbm = -90\naccept_pass_db = 30\naccept_fail_db = 30\n"
             "accept_loss_percent = 0\n");
    j = judge(&m, "from,to,rssi_dbm,loss_percent\n101/loud,GWA@1,-70,0\nGWA@1,102/loud,-61,0\n201/loud,GWA@2,-70.1,\n"
                  "202/loud,GWA@2,-70,0.1\n");
    check(&m, &j, "101/loud", HR_VERDICT_PASS, "comes to 24.0 dB"); /* -70 - 10 + 14 - -90 */
    check(&m, &j, "102/loud", HR_VERDICT_FAIL, NULL);               /* 29 dB over its own -90 */
    check(&m, &j, "201/loud", HR_VERDICT_FAIL, NULL);
    check(&m, &j, "202/loud", HR_VERDICT_WEAK, "0.1 % of the packets");
    forget(&j);
    drop(&m);
}

/* Levels at other gateways judge nobody; of one link's readings the lowest counts, in either direction. */
void links_that_judge(void **state)
{
    (void)state;
    made m = make("");
    judged j = judge(&m, "from,to,rssi_dbm,storey,x,y,kind\n"
                         "101,GWB@1,-99,,,,\n101,GWA@1,-70,,,,\nGWA@1,101,-66,,,,\n101,GWA@1,-80,,,,\n" /* planned: GWA@1 */
                         "102,GWB@1,-80,,,,\n102,GWB@2,-75,,,,\n"                                       /* others only */
                         "103,GWA@1,-70,,,,\n103,GWA@1,,,,,\n"                                          /* once not heard */
                         "GWA@1,GWB@1,-60,,,,\n104,,-50,1,3,3,gateway\n");                              /* of no device's link */
    check(&m, &j, "101/wall", HR_VERDICT_PASS, NULL);
    assert_int_equal(row(&m, &j, "101/wall")->readings, 3);
    check_near(row(&m, &j, "101/wall")->over_db, 20.0, 1e-9);
    assert_int_equal(j.readings->items[row(&m, &j, "101/wall")->reading].line, 5);
    check(&m, &j, "102/wall", HR_VERDICT_PASS, "judged by its link to GWB@2, which is not the planned one");
    const uint32_t planned = row(&m, &j, "103/wall")->planned_gateway;
    assert_true(planned != HR_READINGS_NONE);
    assert_string_equal(m.b->gateways[planned].id, "GWA@1");
    check(&m, &j, "103/wall", HR_VERDICT_FAIL, "not heard in line 9");
    check(&m, &j, "104/wall", HR_VERDICT_NOT_READ, NULL);
    assert_int_equal(j.a->beside, 4);
    forget(&j);
    j = judge(&m, "from,to,rssi_dbm\n"); /* nothing read at all */
    assert_int_equal(j.a->verdicts[HR_VERDICT_NOT_READ], j.a->count);
    forget(&j);
    drop(&m);
}

void what_was_joined(void **state)
{
    (void)state;
    made m = make("");
    judged j = judge(&m, "from,to,rssi_dbm,joined\n"
                         "101,GWA@1,-70,gwa@1\n"
                         "102,GWA@1,-60,GWB@1\n102,GWB@1,-95,\n"   /* judged where it is, not where it should be */
                         "103,GWA@1,-60,GWB@1\n"                  /* no level where it is */
                         "104,GWB@1,-60,NEIGHBOUR\n"              /* somebody else's network */
                         "105,GWB@1,,GWB@1\n"                     /* joined and not heard: nobody read it */
                         "201,GWA@2,-60,GWB@2\n201,GWA@2,-60,GWA@2\n"
                         "202,GWA@2,-60,3\n");                    /* the third's network id, by the plan */
    assert_string_equal(j.siting->gateways[2].id, "GWA@2");
    check(&m, &j, "202/wall", HR_VERDICT_PASS, NULL);
    assert_string_equal(row(&m, &j, "202/wall")->joined, "GWA@2");
    check(&m, &j, "101/wall", HR_VERDICT_PASS, NULL);
    assert_int_equal(row(&m, &j, "101/wall")->as_planned, 1);
    assert_string_equal(row(&m, &j, "101/wall")->joined, "GWA@1");
    check(&m, &j, "102/wall", HR_VERDICT_FAIL, "joined GWB@1, planned was GWA@1");
    check_near(row(&m, &j, "102/wall")->over_db, 5.0, 1e-9);
    assert_int_equal(row(&m, &j, "102/wall")->as_planned, 0);
    check(&m, &j, "103/wall", HR_VERDICT_NOT_READ, "no level was read between it and GWB@1");
    check(&m, &j, "104/wall", HR_VERDICT_FAIL, "no gateway of this property");
    check(&m, &j, "105/wall", HR_VERDICT_NOT_READ, "joined GWB@1, but line 7 has no level");
    check(&m, &j, "201/wall", HR_VERDICT_PASS, "joined GWB@2 in line 8, GWA@2 in line 9");
    assert_int_equal(row(&m, &j, "201/wall")->as_planned, 1);
    assert_int_equal(row(&m, &j, "203/wall")->as_planned, -1);
    assert_int_equal(j.a->elsewhere, 3);
    forget(&j);
    /* what was typed stays on its line, whole characters of it; too much of it is no name */
    hr_text text = {0};
    hr_text_add(&text, "from,to,rssi_dbm,joined\n101,GWA@1,-60,\"a\x1b\n");
    for (int i = 0; i < 65; i++) {
        hr_text_add(&text, "\xE2\x82\xAC");
    }
    hr_text_add(&text, "\"\n102,GWA@1,-60,");
    for (int i = 0; i < 300; i++) {
        hr_text_add(&text, "x");
    }
    hr_text_add(&text, "\n");
    for (int i = 0; i < 40; i++) { /* roaming is told once */
        hr_text_addf(&text, "103,GWA@1,-60,%s\n", i % 2 == 0 ? "GWA@1" : "GWB@1");
    }
    j = judge(&m, text.bytes);
    assert_int_equal(j.readings->fault_count, 1);
    assert_int_equal(strncmp(row(&m, &j, "101/wall")->joined, "a  \xE2\x82\xAC", 6), 0);
    check(&m, &j, "101/wall", HR_VERDICT_FAIL, "no gateway of this property");
    check(&m, &j, "103/wall", HR_VERDICT_NOT_READ, "joined GWA@1 in line");
    assert_true(strlen(row(&m, &j, "103/wall")->remark) < 150);
    forget(&j);
    hr_text_free(&text);
    drop(&m);
}

/* A unit hangs on its room's wall control, whichever way the row is written; a relay's children are its own links. */
void hops_that_judge(void **state)
{
    (void)state;
    made m = make("[device unit]\npower = mains\nrelays = no\njoins = wall\n");
    judged j = judge(&m, "from,to,rssi_dbm,joined\n"
                         "101/wall,101/unit,-80,\n102/unit,102/wall,-88,GWA@1\n101/wall,GWA@1,-60,\n"
                         "103/unit,GWA@1,-50,GWA@1\n"             /* not its link */
                         "104/unit,105/wall,-60,\n"              /* somebody else's wall control */
                         "105/wall,105/unit,,\n201/unit,201/wall,-60,201/wall\n202/unit,203/wall,-60,203/wall\n"
                         "203/unit,203/wall,-60,202/wall\n");
    check(&m, &j, "101/unit", HR_VERDICT_PASS, NULL);
    check_near(row(&m, &j, "101/wall")->over_db, 40.0, 1e-9);
    assert_string_equal(m.b->devices[row(&m, &j, "101/unit")->planned_via].name, "101/wall");
    check(&m, &j, "102/unit", HR_VERDICT_WEAK, NULL);
    check(&m, &j, "102/wall", HR_VERDICT_NOT_READ, NULL);
    check(&m, &j, "104/unit", HR_VERDICT_PASS, "judged by its link to 105/wall, which is not the planned one");
    check(&m, &j, "105/unit", HR_VERDICT_FAIL, "not heard");
    check(&m, &j, "201/unit", HR_VERDICT_PASS, NULL);
    assert_int_equal(row(&m, &j, "201/unit")->as_planned, 1);
    check(&m, &j, "202/unit", HR_VERDICT_PASS, "joined 203/wall, planned was 202/wall");
    check(&m, &j, "203/unit", HR_VERDICT_NOT_READ, "no level was read between it and 202/wall");
    assert_int_equal(j.a->elsewhere, 2);
    check(&m, &j, "103/unit", HR_VERDICT_PASS, NULL); /* joined the gateway itself, by its own word */
    forget(&j);
    drop(&m);
}
