/*
 * lists.c - a list of gateways (CSV) in place of those marked on the plans.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

#include <math.h>
#include <string.h>

#define COORDINATE_MAX_M 1e6
/* Lists carry 0.1 mm; feet written out come back to the same figure. */
#define LIST_DECIMALS 4

enum { COLUMN_ID = 0, COLUMN_STOREY, COLUMN_X, COLUMN_Y, COLUMN_MOUNT, COLUMN_SPOT, COLUMN_NETWORK, COLUMNS };

static const char *const column_names[COLUMNS] = {"id", "storey", "x", "y", "mount_height", "spot", "network_id"};

/* What our own lists carry beside the above, for people with a tape measure. */
static const char *const own_columns[] = {"nearest_room", "wall_a", "wall_a_side", "wall_b", "wall_b_side",
                                          "closet",       "cable",  "power",       "status"};

static bool is_own_column(const char *name)
{
    for (size_t i = 0; i < sizeof own_columns / sizeof own_columns[0]; i++) {
        if (hr_casecmp(own_columns[i], name) == 0) {
            return true;
        }
    }
    return false;
}

typedef struct list_reader {
    hr_building *b;
    const hr_csv *csv;
    size_t columns[COLUMNS]; /* SIZE_MAX: not there */
    hr_gateway *gateways;
    hr_names *ids;
    size_t row;
    hr_notes *notes;
    hr_error *err;
} list_reader;

static hr_status fail_row(const list_reader *l, const char *column, const char *cell, const char *text)
{
    return hr_fail(l->err, HR_ERR_INPUT, hr_csv_file(l->csv), hr_csv_line(l->csv, l->row), "%s = %s: %s", column, cell,
                   text);
}

static const char *cell_of(const list_reader *l, int column)
{
    return hr_csv_cell(l->csv, l->row, l->columns[column]);
}

static hr_status check_unit(const list_reader *l)
{
    const char *written = hr_csv_comment(l->csv, "length_unit");
    if (written == NULL) {
        hr_note(l->notes, hr_csv_file(l->csv), 0, "no # length_unit line: lengths are taken in %s, as the property's",
                hr_units_length_name(l->b->length_unit));
        return HR_OK;
    }
    char word[16] = {0};
    const size_t len = strcspn(written, " \t\r,;");
    memcpy(word, written, len < sizeof word - 1 ? len : sizeof word - 1);
    hr_length_unit unit = HR_METRES;
    if (!hr_units_length_unit(word, &unit)) {
        return hr_fail(l->err, HR_ERR_INPUT, hr_csv_file(l->csv), 0, "# length_unit = %s: m or ft was expected", word);
    }
    if (unit != l->b->length_unit) {
        return hr_fail(l->err, HR_ERR_INPUT, hr_csv_file(l->csv), 0,
                       "# length_unit = %s in this list, length_unit = %s in %s; one unit was expected", word,
                       hr_units_length_name(l->b->length_unit), l->b->file);
    }
    return HR_OK;
}

static hr_status find_columns(list_reader *l)
{
    for (int i = 0; i < COLUMNS; i++) {
        l->columns[i] = hr_csv_column(l->csv, column_names[i]);
        if (l->columns[i] == SIZE_MAX && i <= COLUMN_MOUNT) {
            return hr_fail(l->err, HR_ERR_INPUT, hr_csv_file(l->csv), 0,
                           "no column %s; id, storey, x, y and mount_height were expected", column_names[i]);
        }
    }
    for (size_t c = 0; c < hr_csv_columns(l->csv); c++) {
        const char *name = hr_csv_column_name(l->csv, c);
        bool known = is_own_column(name);
        for (int i = 0; i < COLUMNS; i++) {
            known = known || l->columns[i] == c;
        }
        if (name[0] == '\0') {
            hr_note(l->notes, hr_csv_file(l->csv), 0, "column %zu has no name and is not used", c + 1);
        } else if (!known) {
            const char *nearest = hr_nearest(name, column_names, COLUMNS, 2);
            hr_note(l->notes, hr_csv_file(l->csv), 0, "column %s is not used%s%s%s", name,
                    nearest == NULL ? "" : ", did you mean ", nearest == NULL ? "" : nearest,
                    nearest == NULL ? "" : "?");
        }
    }
    return HR_OK;
}

static hr_status read_length(const list_reader *l, int column, double low_m, double high_m, double *value_m)
{
    const char *cell = cell_of(l, column);
    double value = 0.0;
    if (!hr_csv_number(l->csv, cell, &value)) {
        return fail_row(l, column_names[column], cell, "a number was expected");
    }
    value = hr_units_to_metres(value, l->b->length_unit);
    if (!(value >= low_m && value <= high_m)) {
        return fail_row(l, column_names[column], cell, "out of range");
    }
    *value_m = value;
    return HR_OK;
}

static hr_status read_storey(const list_reader *l, hr_gateway *gateway)
{
    const hr_building *b = l->b;
    const char *cell = cell_of(l, COLUMN_STOREY);
    gateway->storey = hr_building_storey(b, cell);
    if (gateway->storey != UINT32_MAX) {
        return HR_OK;
    }
    const char *names[HR_MAX_STOREYS];
    for (size_t i = 0; i < b->storey_count; i++) {
        names[i] = b->storeys[i].name;
    }
    const char *nearest = hr_nearest(cell, names, b->storey_count, 2);
    return hr_fail(l->err, HR_ERR_INPUT, hr_csv_file(l->csv), hr_csv_line(l->csv, l->row),
                   "storey = %s: no such storey in %s%s%s%s", cell, b->file, nearest == NULL ? "" : ", did you mean ",
                   nearest == NULL ? "" : nearest, nearest == NULL ? "" : "?");
}

/* A cell kept in the building's arena, made fit for lists; NULL: out of memory. */
static const char *keep_id(const list_reader *l, const char *cell)
{
    hr_text clean = {0};
    hr_text_add(&clean, "");
    if (building_clean_id(cell, &clean) && !clean.failed) {
        hr_note(l->notes, hr_csv_file(l->csv), hr_csv_line(l->csv, l->row),
                "%s is written %s: ids in lists hold letters, digits and _ @ . - only", cell, clean.bytes);
    }
    const char *kept = clean.failed ? NULL : hr_arena_strdup(l->b->arena, clean.bytes);
    hr_text_free(&clean);
    return kept;
}

static hr_status read_names(list_reader *l, hr_gateway *gateway)
{
    const char *cell = cell_of(l, COLUMN_ID);
    if (cell[0] == '\0') {
        return fail_row(l, "id", cell, "a name for the gateway was expected");
    }
    for (int i = 0; i < COLUMNS; i++) {
        if (i != COLUMN_X && i != COLUMN_Y && strlen(cell_of(l, i)) > HR_MAX_NAME_BYTES) {
            return hr_fail(l->err, HR_ERR_LIMIT, hr_csv_file(l->csv), hr_csv_line(l->csv, l->row),
                           "%s is longer than the limit of %zu bytes", column_names[i], HR_MAX_NAME_BYTES);
        }
    }
    gateway->id = keep_id(l, cell);
    if (gateway->id == NULL) {
        return hr_fail_memory(l->err);
    }
    const size_t before = hr_names_find(l->ids, gateway->id);
    if (before != SIZE_MAX) {
        return hr_fail(l->err, HR_ERR_INPUT, hr_csv_file(l->csv), hr_csv_line(l->csv, l->row),
                       "id %s stands twice, first in line %d", gateway->id, hr_csv_line(l->csv, before));
    }
    if (hr_building_room(l->b, gateway->id) != UINT32_MAX) {
        return hr_fail(l->err, HR_ERR_INPUT, hr_csv_file(l->csv), hr_csv_line(l->csv, l->row),
                       "id %s is the name of a room: names are unique in a property", gateway->id);
    }
    const char *spot = cell_of(l, COLUMN_SPOT), *network = cell_of(l, COLUMN_NETWORK);
    gateway->spot = spot[0] == '\0' ? NULL : keep_id(l, spot);
    gateway->network_id = network[0] == '\0' ? NULL : hr_arena_strdup(l->b->arena, network);
    const bool failed = (spot[0] != '\0' && gateway->spot == NULL) ||
                        (network[0] != '\0' && gateway->network_id == NULL) ||
                        !hr_names_add(l->ids, gateway->id, l->row);
    return failed ? hr_fail_memory(l->err) : HR_OK;
}

static hr_status read_row(list_reader *l, hr_gateway *gateway)
{
    const hr_key *mount = &building_row_find(BUILDING_GATEWAY, "mount_height")->key;
    *gateway = (hr_gateway){.existing = true};
    hr_status status = read_names(l, gateway);
    if (status == HR_OK) {
        status = read_storey(l, gateway);
    }
    if (status == HR_OK) {
        status = read_length(l, COLUMN_X, -COORDINATE_MAX_M, COORDINATE_MAX_M, &gateway->at.x);
    }
    if (status == HR_OK) {
        status = read_length(l, COLUMN_Y, -COORDINATE_MAX_M, COORDINATE_MAX_M, &gateway->at.y);
    }
    if (status == HR_OK) {
        status = read_length(l, COLUMN_MOUNT, mount->low, mount->high, &gateway->mount_height_m);
    }
    if (status != HR_OK) {
        return status;
    }
    const hr_storey *storey = &l->b->storeys[gateway->storey];
    gateway->at = (hr_point){hr_round(gateway->at.x, LIST_DECIMALS), hr_round(gateway->at.y, LIST_DECIMALS)};
    gateway->z_m = storey->elevation_m + gateway->mount_height_m;
    building_note_ceiling(l->b, l->notes, hr_csv_file(l->csv), hr_csv_line(l->csv, l->row), "gateway",
                          gateway->mount_height_m, storey->floor_to_floor_m);
    building_note_gateway(l->b, l->notes, hr_csv_file(l->csv), hr_csv_line(l->csv, l->row), l->gateways, l->row);
    if (building_in_keep_out(storey->plan, gateway->at)) {
        hr_note(l->notes, hr_csv_file(l->csv), hr_csv_line(l->csv, l->row), "gateway %s stands in a keep-out",
                gateway->id);
    }
    return HR_OK;
}

static hr_status read_rows(list_reader *l)
{
    const size_t rows = hr_csv_rows(l->csv);
    hr_status status = check_unit(l);
    if (status == HR_OK) {
        status = find_columns(l);
    }
    if (status == HR_OK && rows > HR_MAX_GATEWAYS) {
        status = hr_fail(l->err, HR_ERR_LIMIT, hr_csv_file(l->csv), 0, "more gateways than the limit of %zu",
                         HR_MAX_GATEWAYS);
    }
    if (status == HR_OK) {
        l->ids = hr_names_new();
        l->gateways = hr_alloc(rows, sizeof *l->gateways);
        status = l->ids == NULL || l->gateways == NULL ? hr_fail_memory(l->err) : HR_OK;
    }
    for (l->row = 0; l->row < rows && status == HR_OK; l->row++) {
        status = read_row(l, &l->gateways[l->row]);
    }
    return status;
}

hr_status hr_building_parse_gateways(hr_building *building, const char *file, const char *bytes, size_t len,
                                     hr_notes *notes, hr_error *err)
{
    hr_csv *csv = NULL;
    hr_status status = hr_csv_parse(file, bytes, len, &csv, err);
    if (status != HR_OK) {
        return status;
    }
    list_reader l = {.b = building, .csv = csv, .notes = notes, .err = err};
    status = read_rows(&l);
    if (status == HR_OK) {
        hr_free(building->gateways);
        building->gateways = l.gateways;
        building->gateway_count = hr_csv_rows(csv);
        l.gateways = NULL;
    }
    hr_free(l.gateways);
    hr_names_free(l.ids);
    hr_csv_free(csv);
    return status;
}

hr_status hr_building_read_gateways(hr_building *building, const char *path, hr_notes *notes, hr_error *err)
{
    char *bytes = NULL;
    size_t len = 0;
    hr_status status = hr_file_read(path, HR_MAX_FILE_BYTES, &bytes, &len, err);
    if (status == HR_OK) {
        status = hr_building_parse_gateways(building, path, bytes, len, notes, err);
    }
    hr_free(bytes);
    return status;
}
