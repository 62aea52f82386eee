/* speed_geos.h - for the rows whose peer is GEOS.
 * SPDX-License-Identifier: MIT */
#ifndef SPEED_GEOS_H
#define SPEED_GEOS_H

#include <geos_c.h>

#include "hr_geometry.h"

static inline GEOSGeometry *speed_geos_line(hr_segment s)
{
    GEOSCoordSequence *ends = GEOSCoordSeq_create(2, 2);
    (void)GEOSCoordSeq_setXY(ends, 0, s.a.x, s.a.y);
    (void)GEOSCoordSeq_setXY(ends, 1, s.b.x, s.b.y);
    return GEOSGeom_createLineString(ends);
}

#endif
