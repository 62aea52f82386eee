/*
 * look_words.c - what a name that others gave to a layer or class may mean, by
 * the words in it: a guess for `read --suggest`, never applied.
 *
 * Words of the languages that plans are commonly labelled in, and the codes of
 * CAD layers (A-WALL, A-GLAZ).
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <stdio.h>
#include <string.h>

#define WORDS_MAX 16
#define WORD_MAX 40

typedef enum topic {
    TOPIC_NONE = 0, /* drawn for people: no guess */
    TOPIC_COLUMN,
    TOPIC_WALL,
    TOPIC_DOOR,
    TOPIC_WINDOW,
    TOPIC_ROOM,
    TOPIC_CORRIDOR,
    TOPIC_LIFT,
    TOPIC_DUCT,
    TOPIC_RISER,
    TOPIC_COUNT
} topic;

typedef struct topic_word {
    const char *word;
    topic about;
} topic_word;

/* TOPIC_NONE first: A-WALL-PATT is the hatching of walls, bathroom fittings are no rooms. */
static const topic_word topic_words[] = {
    {"text", TOPIC_NONE},      {"anno", TOPIC_NONE},      {"dim", TOPIC_NONE},       {"dims", TOPIC_NONE},
    {"dimension", TOPIC_NONE}, {"hatch", TOPIC_NONE},     {"patt", TOPIC_NONE},      {"pattern", TOPIC_NONE},
    {"iden", TOPIC_NONE},      {"furn", TOPIC_NONE},      {"furniture", TOPIC_NONE}, {"grid", TOPIC_NONE},
    {"plumbing", TOPIC_NONE},  {"fixture", TOPIC_NONE},   {"sanitary", TOPIC_NONE},  {"legend", TOPIC_NONE},
    {"symb", TOPIC_NONE},      {"symbol", TOPIC_NONE},    {"note", TOPIC_NONE},      {"label", TOPIC_NONE},
    {"bathroom", TOPIC_NONE},  {"restroom", TOPIC_NONE},  {"outdoor", TOPIC_NONE},   {"indoor", TOPIC_NONE},
    {"mobilier", TOPIC_NONE},  {"meuble", TOPIC_NONE},    {"möbel", TOPIC_NONE},     {"schraffur", TOPIC_NONE},
    {"raster", TOPIC_NONE},    {"bemassung", TOPIC_NONE}, {"texte", TOPIC_NONE},     {"texto", TOPIC_NONE},
    {"testo", TOPIC_NONE},     {"cote", TOPIC_NONE},      {"cotas", TOPIC_NONE},     {"arredi", TOPIC_NONE},
    {"col", TOPIC_COLUMN},     {"cols", TOPIC_COLUMN},    {"column", TOPIC_COLUMN},  {"pillar", TOPIC_COLUMN},
    {"poteau", TOPIC_COLUMN},  {"poteaux", TOPIC_COLUMN}, {"stütze", TOPIC_COLUMN},  {"pilar", TOPIC_COLUMN},
    {"door", TOPIC_DOOR},      {"porte", TOPIC_DOOR},     {"tür", TOPIC_DOOR},       {"türen", TOPIC_DOOR},
    {"tuer", TOPIC_DOOR},      {"puerta", TOPIC_DOOR},    {"porta", TOPIC_DOOR},     {"deur", TOPIC_DOOR},
    {"dörr", TOPIC_DOOR},      {"window", TOPIC_WINDOW},  {"glaz", TOPIC_WINDOW},    {"glazing", TOPIC_WINDOW},
    {"fenetre", TOPIC_WINDOW}, {"fenêtre", TOPIC_WINDOW}, {"fenster", TOPIC_WINDOW}, {"ventana", TOPIC_WINDOW},
    {"finestra", TOPIC_WINDOW}, {"finestre", TOPIC_WINDOW}, {"raam", TOPIC_WINDOW},  {"fönster", TOPIC_WINDOW},
    {"wall", TOPIC_WALL},      {"mur", TOPIC_WALL},       {"muro", TOPIC_WALL},      {"muri", TOPIC_WALL},
    {"parete", TOPIC_WALL},    {"pareti", TOPIC_WALL},    {"pared", TOPIC_WALL},     {"wand", TOPIC_WALL},
    {"wände", TOPIC_WALL},     {"waende", TOPIC_WALL},    {"mauer", TOPIC_WALL},     {"partition", TOPIC_WALL},
    {"cloison", TOPIC_WALL},   {"tabique", TOPIC_WALL},   {"vägg", TOPIC_WALL},      {"muur", TOPIC_WALL},
    {"lift", TOPIC_LIFT},      {"elevator", TOPIC_LIFT},  {"aufzug", TOPIC_LIFT},    {"ascenseur", TOPIC_LIFT},
    {"ascensor", TOPIC_LIFT},  {"duct", TOPIC_DUCT},      {"riser", TOPIC_RISER},    {"corridor", TOPIC_CORRIDOR},
    {"hallway", TOPIC_CORRIDOR}, {"circulation", TOPIC_CORRIDOR}, {"flur", TOPIC_CORRIDOR}, {"couloir", TOPIC_CORRIDOR},
    {"pasillo", TOPIC_CORRIDOR}, {"corridoio", TOPIC_CORRIDOR}, {"room", TOPIC_ROOM}, {"zimmer", TOPIC_ROOM},
    {"raum", TOPIC_ROOM},      {"räume", TOPIC_ROOM},     {"chambre", TOPIC_ROOM},   {"habitacion", TOPIC_ROOM},
    {"kamer", TOPIC_ROOM},     {"space", TOPIC_ROOM},     {"area", TOPIC_ROOM}};

typedef struct material_word {
    const char *word, *material;
} material_word;

static const material_word wall_words[] = {
    {"concrete", "concrete-150"}, {"conc", "concrete-150"},      {"beton", "concrete-150"},  {"béton", "concrete-150"},
    {"hormigon", "concrete-150"}, {"brick", "brick-200"},        {"brique", "brick-200"},    {"ziegel", "brick-200"},
    {"ladrillo", "brick-200"},    {"mattone", "brick-200"},      {"masonry", "brick-200"},   {"cmu", "block-hollow"},
    {"block", "block-hollow"},    {"plaster", "framed-double"},  {"gyps", "framed-double"},  {"gypsum", "framed-double"},
    {"drywall", "framed-double"}, {"gwb", "framed-double"},      {"stud", "framed-double"},  {"part", "framed-double"},
    {"prtn", "framed-double"},    {"partition", "framed-double"}, {"cloison", "framed-double"}, {"int", "framed-double"}, {"intr", "framed-double"},
    {"interior", "framed-double"}, {"inner", "framed-double"},   {"timber", "timber-wall"},  {"wood", "timber-wall"},
    {"holz", "timber-wall"},      {"bois", "timber-wall"},       {"stone", "stone-wall"},    {"core", "concrete-200"},
    {"shear", "concrete-200"},    {"struct", "concrete-200"},    {"ext", "brick-200"},       {"extr", "brick-200"},       {"exterior", "brick-200"},
    {"exterieur", "brick-200"},   {"extérieur", "brick-200"},    {"aussen", "brick-200"},     {"außen", "brick-200"},
    {"interieur", "framed-double"}, {"intérieur", "framed-double"}, {"innen", "framed-double"},
    {"outer", "brick-200"},       {"facade", "brick-200"}};

static const material_word door_words[] = {{"fire", "fire-door"},          {"glass", "glass-door"},
                                           {"steel", "steel-skinned-door"}, {"metal", "steel-skinned-door"}};

/* The words of a name, small letters: A-WallExt is a, wall, ext. */
typedef struct words {
    char at[WORDS_MAX][WORD_MAX];
    size_t count;
} words;

static bool is_small(char c)
{
    return c >= 'a' && c <= 'z';
}

static bool is_large(char c)
{
    return c >= 'A' && c <= 'Z';
}

/* Small letters, also for the capitals of Latin-1 in UTF-8 (C3 80 to C3 9E). */
static char small_of(const char *name, size_t i)
{
    const unsigned char c = (unsigned char)name[i];
    if (is_large(name[i])) {
        return (char)(name[i] - 'A' + 'a');
    }
    return i > 0 && (unsigned char)name[i - 1] == 0xC3 && c >= 0x80 && c <= 0x9E ? (char)(c + 0x20) : name[i];
}

static void split(const char *name, words *w)
{
    size_t used = 0;
    w->count = 0;
    for (size_t i = 0;; i++) {
        const char c = name[i];
        const bool letter = is_small(c) || is_large(c) || (unsigned char)c >= 0x80;
        const bool hump = used > 0 && is_large(c) && is_small(name[i - 1]);
        if (used > 0 && (!letter || hump)) {
            w->at[w->count++][used] = '\0';
            used = 0;
        }
        if (c == '\0' || w->count == WORDS_MAX) {
            return;
        }
        if (letter && used + 1 < WORD_MAX) {
            w->at[w->count][used++] = small_of(name, i);
        }
    }
}

/* The word itself, its plural, or a compound that begins or ends with it (innenwand). */
static bool is_word(const char *text, const char *word)
{
    const size_t len = strlen(text), want = strlen(word);
    if (len < want) {
        return false;
    }
    if (strncmp(text, word, want) == 0) {
        const char *rest = text + want;
        if (*rest == '\0' || strcmp(rest, "s") == 0 || strcmp(rest, "es") == 0 || strcmp(rest, "n") == 0) {
            return true;
        }
    }
    return want >= 4 && (strncmp(text, word, want) == 0 || strcmp(text + len - want, word) == 0);
}

static bool holds(const words *w, const char *word)
{
    for (size_t i = 0; i < w->count; i++) {
        if (is_word(w->at[i], word)) {
            return true;
        }
    }
    return false;
}

static topic topic_of(const words *w)
{
    for (size_t i = 0; i < sizeof topic_words / sizeof topic_words[0]; i++) {
        if (holds(w, topic_words[i].word)) {
            return topic_words[i].about;
        }
    }
    return TOPIC_NONE;
}

/* A row of the material table that stands in the name, longest first. */
static const char *named_material(const hr_materials *materials, const char *name)
{
    char folded[PLAN_WORD_MAX];
    const char *best = NULL;
    size_t len = 0;
    for (; name[len] != '\0' && len + 1 < sizeof folded; len++) {
        const char c = name[len];
        folded[len] = is_large(c) ? (char)(c - 'A' + 'a') : c == ' ' || c == '_' ? '-' : c;
    }
    folded[len] = '\0';
    for (size_t i = 0; i < hr_materials_count(materials); i++) {
        const char *row = hr_materials_get(materials, i)->name;
        if (strstr(folded, row) != NULL && (best == NULL || strlen(row) > strlen(best))) {
            best = row;
        }
    }
    return best;
}

static const char *material_by(const words *w, const material_word *table, size_t count, const char *otherwise)
{
    for (size_t i = 0; i < count; i++) {
        if (holds(w, table[i].word)) {
            return table[i].material;
        }
    }
    return otherwise;
}

bool plan_guess_by_words(const hr_materials *materials, const char *name, bool closed, char *target, size_t target_size,
                         hr_plan_kind *about)
{
    static const hr_plan_kind kinds[TOPIC_COUNT] = {HR_PLAN_KIND_COUNT, HR_PLAN_WALLS, HR_PLAN_WALLS,     HR_PLAN_DOORS,
                                                    HR_PLAN_WINDOWS,    HR_PLAN_ROOMS, HR_PLAN_CORRIDORS, HR_PLAN_METAL,
                                                    HR_PLAN_METAL,      HR_PLAN_METAL};
    words w;
    split(name, &w);
    const topic found = topic_of(&w);
    if (found == TOPIC_NONE) {
        return false;
    }
    hr_plan_kind kind = kinds[found];
    const char *value = NULL;
    if (found == TOPIC_WALL || found == TOPIC_COLUMN) {
        kind = found == TOPIC_COLUMN && closed ? HR_PLAN_SOLIDS : HR_PLAN_WALLS;
        value = named_material(materials, name);
        value = value != NULL ? value
                              : material_by(&w, wall_words, sizeof wall_words / sizeof wall_words[0],
                                            found == TOPIC_COLUMN ? "concrete-200" : "block-hollow");
    } else if (found == TOPIC_DOOR) {
        value = material_by(&w, door_words, sizeof door_words / sizeof door_words[0], "timber-door");
    } else if (found >= TOPIC_LIFT) {
        value = found == TOPIC_LIFT ? "lift" : found == TOPIC_DUCT ? "duct" : "metal-riser";
    } else if (found == TOPIC_WINDOW) {
        value = "glass";
    }
    (void)snprintf(target, target_size, "%s%s%s", hr_plan_kind_name(kind), value != NULL ? ": " : "",
                   value != NULL ? value : "");
    if (about != NULL) {
        *about = kind;
    }
    return true;
}
