/*
 * speed_crossings.c - which walls a ray crosses, and the sum of their losses,
 * for random pairs of places on a storey.
 *
 * Embree finds hits on triangles in single precision. Its two ways to all hits
 * are measured: the ray sent on from behind each hit (row crossings-N), and
 * one pass with a filter that notes each hit and refuses it (crossings-N-filter),
 * where a wall may be reported twice and has to be sorted out. GEOS gives what
 * its tree finds near the ray, and our exact test settles those. Both sides
 * sum losses in the order of the walls.
 *
 * SPDX-License-Identifier: MIT
 */
#include "speed.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#ifdef HAVE_EMBREE
#include <embree3/rtcore.h>
#endif
#ifdef HAVE_GEOS
#include "speed_geos.h"
#endif

#define RAYS 100000
#define MET_MAX 4096

typedef struct crossings {
    speed_storey storey;
    hr_segment *rays;
    hr_index *index;
#ifdef HAVE_EMBREE
    RTCDevice device;
    RTCScene scene;
#endif
#ifdef HAVE_GEOS
    GEOSSTRtree *tree;
#endif
} crossings;

typedef struct met {
    uint32_t ids[MET_MAX];
    size_t count;
    hr_segment ray;
    const speed_storey *storey;
} met;

#if defined(HAVE_EMBREE) || defined(HAVE_GEOS)
static double ours(void *user)
{
    const crossings *c = user;
    uint32_t ids[MET_MAX];
    double sum = 0.0;
    for (size_t i = 0; i < RAYS; i++) {
        const size_t count = hr_geometry_index_crossed(c->index, c->rays[i], ids, MET_MAX);
        double loss_db = 0.0;
        for (size_t k = 0; k < count; k++) {
            loss_db += c->storey.loss_db[ids[k]];
        }
        sum += loss_db;
    }
    return sum;
}

static void note(met *m, uint32_t id)
{
    if (m->count < MET_MAX) {
        m->ids[m->count++] = id;
    }
}

/* Each wall once, in the order of the walls: few ids, so by insertion. */
static double loss_in_order(met *m, const double *loss_db)
{
    double sum = 0.0;
    for (size_t i = 1; i < m->count; i++) {
        const uint32_t id = m->ids[i];
        size_t k = i;
        for (; k > 0 && m->ids[k - 1] > id; k--) {
            m->ids[k] = m->ids[k - 1];
        }
        m->ids[k] = id;
    }
    for (size_t i = 0; i < m->count; i++) {
        sum += i > 0 && m->ids[i] == m->ids[i - 1] ? 0.0 : loss_db[m->ids[i]];
    }
    return sum;
}
#endif

#ifdef HAVE_EMBREE
typedef struct filter_context {
    struct RTCIntersectContext context;
    met found;
} filter_context;

static void refuse(const struct RTCFilterFunctionNArguments *args)
{
    note(&((filter_context *)(void *)args->context)->found, ((const struct RTCHit *)(const void *)args->hit)->primID);
    args->valid[0] = 0;
}

static struct RTCRay embree_ray(hr_segment s)
{
    return (struct RTCRay){.org_x = (float)s.a.x,
                           .org_y = (float)s.a.y,
                           .org_z = 1.5f,
                           .dir_x = (float)(s.b.x - s.a.x),
                           .dir_y = (float)(s.b.y - s.a.y),
                           .tfar = 1.0f,
                           .mask = UINT32_MAX};
}

static double by_filter(void *user)
{
    const crossings *c = user;
    double sum = 0.0;
    filter_context context;
    for (size_t i = 0; i < RAYS; i++) {
        rtcInitIntersectContext(&context.context);
        context.found.count = 0;
        struct RTCRay ray = embree_ray(c->rays[i]);
        rtcOccluded1(c->scene, &context.context, &ray);
        sum += loss_in_order(&context.found, c->storey.loss_db);
    }
    return sum;
}

static double by_restart(void *user)
{
    const crossings *c = user;
    double sum = 0.0;
    met found;
    for (size_t i = 0; i < RAYS; i++) {
        struct RTCIntersectContext context;
        rtcInitIntersectContext(&context);
        struct RTCRayHit hit = {.ray = embree_ray(c->rays[i])};
        found.count = 0;
        for (;;) {
            hit.ray.tfar = 1.0f;
            hit.hit.geomID = RTC_INVALID_GEOMETRY_ID;
            rtcIntersect1(c->scene, &context, &hit);
            if (hit.hit.geomID == RTC_INVALID_GEOMETRY_ID) {
                break;
            }
            note(&found, hit.hit.primID);
            hit.ray.tnear = nextafterf(hit.ray.tfar, 2.0f);
        }
        sum += loss_in_order(&found, c->storey.loss_db);
    }
    return sum;
}

static void make_embree(crossings *c)
{
    const speed_storey *s = &c->storey;
    c->device = rtcNewDevice("threads=1");
    c->scene = rtcNewScene(c->device);
    RTCGeometry walls = rtcNewGeometry(c->device, RTC_GEOMETRY_TYPE_QUAD);
    float *vertices =
        rtcSetNewGeometryBuffer(walls, RTC_BUFFER_TYPE_VERTEX, 0, RTC_FORMAT_FLOAT3, 3 * sizeof(float), 4 * s->count);
    unsigned *corners =
        rtcSetNewGeometryBuffer(walls, RTC_BUFFER_TYPE_INDEX, 0, RTC_FORMAT_UINT4, 4 * sizeof(unsigned), s->count);
    for (size_t i = 0; i < s->count; i++) {
        const hr_point ends[4] = {s->lines[i].a, s->lines[i].b, s->lines[i].b, s->lines[i].a};
        for (size_t k = 0; k < 4; k++) {
            float *v = &vertices[3 * (4 * i + k)];
            v[0] = (float)ends[k].x;
            v[1] = (float)ends[k].y;
            v[2] = k < 2 ? 0.0f : 3.0f;
            corners[4 * i + k] = (unsigned)(4 * i + k);
        }
    }
    rtcSetGeometryBuildQuality(walls, RTC_BUILD_QUALITY_HIGH);
    rtcSetSceneBuildQuality(c->scene, RTC_BUILD_QUALITY_HIGH);
    rtcSetGeometryOccludedFilterFunction(walls, refuse);
    rtcCommitGeometry(walls);
    (void)rtcAttachGeometry(c->scene, walls);
    rtcReleaseGeometry(walls);
    rtcCommitScene(c->scene);
}
#endif

#ifdef HAVE_GEOS
static void near_ray(void *item, void *user)
{
    met *m = user;
    const size_t id = (size_t)(const hr_segment *)item - (size_t)m->storey->lines;
    const size_t at = id / sizeof(hr_segment);
    if (hr_geometry_cross(m->ray, m->storey->lines[at], NULL, NULL)) {
        note(m, (uint32_t)at);
    }
}

static double by_tree(void *user)
{
    const crossings *c = user;
    double sum = 0.0;
    met found = {.storey = &c->storey};
    for (size_t i = 0; i < RAYS; i++) {
        GEOSGeometry *line = speed_geos_line(c->rays[i]);
        found.count = 0;
        found.ray = c->rays[i];
        GEOSSTRtree_query(c->tree, line, near_ray, &found);
        GEOSGeom_destroy(line);
        sum += loss_in_order(&found, c->storey.loss_db);
    }
    return sum;
}

static void make_tree(crossings *c)
{
    initGEOS(NULL, NULL);
    c->tree = GEOSSTRtree_create(10);
    for (size_t i = 0; i < c->storey.count; i++) {
        GEOSSTRtree_insert(c->tree, speed_geos_line(c->storey.lines[i]), &c->storey.lines[i]);
    }
}
#endif

static void make(size_t count, crossings *c)
{
    hr_error err = {.status = HR_OK};
    speed_storey_make(count, &c->storey);
    c->rays = hr_alloc(RAYS, sizeof *c->rays);
    if (c->rays == NULL || hr_geometry_index_new(c->storey.lines, count, &c->index, &err) != HR_OK) {
        speed_fail("no memory");
    }
    for (size_t i = 0; i < RAYS; i++) {
        c->rays[i] = (hr_segment){{speed_random() * c->storey.width_m, speed_random() * c->storey.depth_m},
                                  {speed_random() * c->storey.width_m, speed_random() * c->storey.depth_m}};
    }
#ifdef HAVE_EMBREE
    make_embree(c);
#endif
#ifdef HAVE_GEOS
    make_tree(c);
#endif
}

/* Single precision sees a few rays at corners otherwise. */
#define SINGLE_SLACK 1e-4

static void rows(size_t count, double embree_target, bool tree_row)
{
    crossings c = {0};
    char row[64], filter_row[64];
    (void)snprintf(row, sizeof row, "crossings-%zu", count);
    (void)snprintf(filter_row, sizeof filter_row, "crossings-%zu-filter", count);
    make(count, &c);
#ifdef HAVE_EMBREE
    speed_row(row, "Embree (ray sent on)", embree_target, SINGLE_SLACK, ours, by_restart, &c);
    speed_row(filter_row, "Embree (filter)", 1.0, SINGLE_SLACK, ours, by_filter, &c);
    rtcReleaseScene(c.scene);
    rtcReleaseDevice(c.device);
#else
    speed_missing(row, "libembree-dev", embree_target);
    speed_missing(filter_row, "libembree-dev", 1.0);
#endif
    if (tree_row) {
#ifdef HAVE_GEOS
        speed_row("crossings-strtree", "GEOS STRtree", 12.0, 0.0, ours, by_tree, &c);
#else
        speed_missing("crossings-strtree", "libgeos-dev", 12.0);
#endif
    }
#ifdef HAVE_GEOS
    GEOSSTRtree_destroy(c.tree);
#endif
    hr_geometry_index_free(c.index);
    hr_free(c.rays);
    hr_free(c.storey.lines);
    hr_free(c.storey.loss_db);
}

void speed_crossings(void)
{
    rows(284, 8.0, true);
    rows(2800, 10.0, false);
}
