/*
 * embed.c - the library in a program of your own: reads a property, places
 * gateways, prints gateways and rooms.
 *
 *   cc embed.c $(pkg-config --cflags --libs hallreach) -o embed
 *   ./embed tern-house.ini
 *
 * Radio coverage as predicted, not surveyed: verify by measurement before
 * anybody drills or orders.
 *
 * SPDX-License-Identifier: MIT
 */
#include <stdio.h>

#include <hr_building.h>
#include <hr_siting.h>

/* Numbers through hr_fixed: a %f would follow the locale of your program. */
static void print_gateways(const hr_building *building, const hr_siting *siting)
{
    char x[HR_FIXED_MAX], y[HR_FIXED_MAX];
    for (size_t i = 0; i < siting->gateway_count; i++) {
        const hr_sited_gateway *gateway = &siting->gateways[i];
        printf("%s: storey %s at %s, %s m\n", gateway->id, building->storeys[gateway->storey].name,
               hr_fixed(gateway->at.x, 2, x), hr_fixed(gateway->at.y, 2, y));
    }
}

/* A room's row is its worst device. */
static void print_rooms(const hr_building *building, const hr_siting *siting)
{
    for (size_t i = 0; i < siting->room_count; i++) {
        const hr_room_row *row = &siting->rooms[i];
        if (row->device_row == HR_SITING_NONE) {
            continue; /* no device hangs in this room */
        }
        const hr_device_row *device = &siting->devices[row->device_row];
        char spare[HR_FIXED_MAX];
        printf("room %s: %s, spare %s dB%s%s\n", building->rooms[row->room].name,
               row->served ? siting->gateways[device->gateway].id : "not served", hr_fixed(device->spare_db, 1, spare),
               device->reason[0] != '\0' ? "; " : "", device->reason);
    }
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        fprintf(stderr, "usage: embed PROPERTY.ini\n");
        return 2;
    }
    /* An hr_error is yours: on failure it says what is wrong and where. NULL is
     * fine for notes, options and errors wherever nobody listens. */
    hr_error err = {.status = HR_OK};
    hr_notes *notes = hr_notes_new();
    hr_building *building = NULL;
    hr_siting *siting = NULL;
    hr_status status = notes == NULL ? hr_fail_memory(&err) : hr_building_read(argv[1], NULL, notes, &building, &err);
    if (status == HR_OK) {
        status = hr_siting_place(building, NULL, notes, &siting, &err);
    }
    for (size_t i = 0; notes != NULL && i < hr_notes_count(notes); i++) {
        fprintf(stderr, "warning: %s\n", hr_notes_text(notes, i));
    }
    if (status == HR_OK) {
        print_gateways(building, siting);
        print_rooms(building, siting);
        printf("%zu of %zu devices served\n", siting->served_devices, siting->device_count);
    } else {
        char text[HR_ERROR_FILE_MAX + HR_ERROR_TEXT_MAX + 32];
        hr_error_format(&err, text, sizeof text);
        fprintf(stderr, "embed: %s\n", text);
    }
    hr_siting_free(siting); /* NULL is fine */
    hr_building_free(building);
    hr_notes_free(notes);
    return hr_status_exit(status);
}
