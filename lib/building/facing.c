/*
 * facing.c - where a device's case opens to: as drawn, else to the room's wall
 * control, which the case was turned to when it was fitted; assumed.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

/* Nearer than this in plan there is no direction. */
#define SAME_PLACE_M 0.01

static bool is_wall_control(const hr_building *b, const hr_device *device)
{
    return hr_caseeq_n(b->kinds[device->kind].name, "wall", 4);
}

static bool turn_to(hr_device *device, hr_point target)
{
    const double distance_m = hr_geometry_distance(device->at, target);
    if (!(distance_m > SAME_PLACE_M)) {
        return false;
    }
    device->faces = (hr_point){(target.x - device->at.x) / distance_m, (target.y - device->at.y) / distance_m};
    return true;
}

void building_face_devices(hr_building *b)
{
    for (size_t first = 0; first < b->device_count;) {
        size_t next = first;
        size_t control = SIZE_MAX;
        for (; next < b->device_count && b->devices[next].room == b->devices[first].room; next++) {
            if (control == SIZE_MAX && is_wall_control(b, &b->devices[next])) {
                control = next;
            }
        }
        const hr_room *room = &b->rooms[b->devices[first].room];
        const hr_space *space = &b->storeys[room->storey].plan->spaces[room->space];
        for (; first < next; first++) {
            hr_device *device = &b->devices[first];
            if (device->faces.x != 0.0 || device->faces.y != 0.0) {
                continue; /* drawn */
            }
            if (control != SIZE_MAX && control != first && turn_to(device, b->devices[control].at)) {
                device->facing = (int)control;
            } else {
                (void)turn_to(device, space->innermost);
            }
        }
    }
}
