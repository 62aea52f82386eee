/*
 * maps.c - which nodes of a drawing a `map` line means.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <string.h>

/* A document's own title says what it shows, not what its shapes are. */
const char *plan_title_of(const hr_svg_node *node)
{
    return node->parent == SIZE_MAX ? NULL : node->title;
}

const char *plan_label_of(const hr_svg_node *node)
{
    return node->label != NULL && node->label[0] != '#' ? node->label : NULL;
}

static bool same_name(const char *written, const char *wanted)
{
    char folded[PLAN_WORD_MAX];
    return written != NULL && plan_fold(written, strlen(written), folded, sizeof folded) &&
           hr_casecmp(folded, wanted) == 0;
}

/* LINE_12_ is the twelfth LINE: an editor that wants ids to differ writes so. */
static bool numbered_id(const char *id, const char *wanted)
{
    size_t end = strlen(id);
    if (end < 3 || id[end - 1] != '_' || id[end - 2] < '0' || id[end - 2] > '9') {
        return false;
    }
    for (end--; end > 0 && id[end - 1] >= '0' && id[end - 1] <= '9';) {
        end--;
    }
    char stem[PLAN_WORD_MAX], decoded[PLAN_WORD_MAX];
    if (end < 2 || id[end - 1] != '_' || end > sizeof stem) {
        return false;
    }
    memcpy(stem, id, end - 1);
    stem[end - 1] = '\0';
    return plan_decode_id(stem, decoded, sizeof decoded) && hr_casecmp(decoded, wanted) == 0;
}

/* A layer by its label, title, data-name or id. */
bool plan_is_called(const hr_svg_node *node, const char *wanted)
{
    char decoded[PLAN_WORD_MAX];
    return same_name(node->label, wanted) || same_name(plan_title_of(node), wanted) || same_name(node->data_name, wanted) ||
           same_name(node->id, wanted) ||
           (node->id != NULL && ((plan_decode_id(node->id, decoded, sizeof decoded) && hr_casecmp(decoded, wanted) == 0) ||
                                 numbered_id(node->id, wanted)));
}

static bool has_class(const hr_svg_node *node, const char *wanted)
{
    const size_t want = strlen(wanted);
    for (const char *at = node->classes; at != NULL && *at != '\0';) {
        const size_t blank = strspn(at, " \t\r\n\f");
        const size_t len = strcspn(at + blank, " \t\r\n\f");
        if (len == want && hr_caseeq_n(at + blank, wanted, len)) {
            return true;
        }
        at += blank + len;
    }
    return false;
}

static bool near_colour(hr_svg_paint a, hr_svg_paint b)
{
    const int dr = a.r - b.r, dg = a.g - b.g, db = a.b - b.b;
    return a.set && b.set && dr >= -2 && dr <= 2 && dg >= -2 && dg <= 2 && db >= -2 && db <= 2;
}

bool plan_map_hits(const hr_plan_map *map, const hr_svg_node *node)
{
    switch (map->select) {
    case HR_MAP_LAYER:
        return plan_is_called(node, map->text);
    case HR_MAP_CLASS:
        return has_class(node, map->text);
    case HR_MAP_STROKE:
        return node->kind == HR_SVG_SHAPE && near_colour(node->stroke, map->stroke);
    }
    return false;
}
