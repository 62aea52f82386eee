/*
 * check.c - is a net what it says it is.
 *
 * SPDX-License-Identifier: MIT
 */
#include "mesh_priv.h"

static hr_status check_list(const char *what, const size_t *start, size_t count, const uint32_t *device,
                            const int64_t *spare, size_t devices, hr_error *err)
{
    if (start[0] != 0) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "the %s lists of a mesh must start at 0", what);
    }
    for (size_t i = 0; i < count; i++) {
        if (start[i + 1] < start[i] || (start[i + 1] > 0 && (!device || !spare))) {
            return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "%s list %zu of a mesh ends before it starts", what, i);
        }
        for (size_t e = start[i]; e < start[i + 1]; e++) {
            if (device[e] >= devices || (e > start[i] && device[e] <= device[e - 1])) {
                return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0,
                               "%s list %zu of a mesh: devices must be ascending, without repeats and below %zu", what,
                               i, devices);
            }
        }
    }
    return HR_OK;
}

/* Where device b is in the list of device a; SIZE_MAX: not there. */
static size_t find_link(const hr_mesh_net *net, uint32_t a, uint32_t b)
{
    size_t low = net->link_start[a], high = net->link_start[a + 1];
    while (low < high) {
        const size_t mid = low + (high - low) / 2;
        if (net->link_peer[mid] < b) {
            low = mid + 1;
        } else {
            high = mid;
        }
    }
    return low < net->link_start[a + 1] && net->link_peer[low] == b ? low : SIZE_MAX;
}

static hr_status check_both_ends(const hr_mesh_net *net, hr_error *err)
{
    for (uint32_t a = 0; a < net->devices; a++) {
        for (size_t e = net->link_start[a]; e < net->link_start[a + 1]; e++) {
            const uint32_t b = net->link_peer[e];
            const size_t back = b == a ? SIZE_MAX : find_link(net, b, a);
            if (back == SIZE_MAX || net->link_spare[back] != net->link_spare[e]) {
                return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0,
                               "the link between devices %lu and %lu of a mesh must be listed at both, with one spare",
                               (unsigned long)a, (unsigned long)b);
            }
        }
    }
    return HR_OK;
}

hr_status hr_mesh_check(const hr_mesh_net *net, hr_error *err)
{
    if (!net || !net->entry_start || net->max_hops < 1) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "a mesh needs lists of direct links and at least 1 hop");
    }
    if (net->devices >= HR_MESH_NONE || net->gateways >= HR_MESH_NONE) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "a mesh of %zu devices and %zu gateways is too large",
                       net->devices, net->gateways);
    }
    hr_status status =
        check_list("direct", net->entry_start, net->gateways, net->entry_device, net->entry_spare, net->devices, err);
    if (status == HR_OK && net->link_start) {
        status = check_list("link", net->link_start, net->devices, net->link_peer, net->link_spare, net->devices, err);
        if (status == HR_OK) {
            status = check_both_ends(net, err);
        }
    }
    return status;
}

hr_status hr_mesh_check_chosen(const hr_mesh_net *net, const uint32_t *chosen, size_t count, hr_error *err)
{
    if (!net || (count > 0 && !chosen)) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "a mesh needs its net and its gateways");
    }
    for (size_t i = 0; i < count; i++) {
        if (chosen[i] >= net->gateways || (i > 0 && chosen[i] <= chosen[i - 1])) {
            return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0,
                           "the gateways of a mesh must be ascending, without repeats and below %zu", net->gateways);
        }
    }
    return HR_OK;
}
