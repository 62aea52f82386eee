/*
 * completion.c - writes the completion for bash to standard output: commands,
 * options and the words an option takes, from the command's own tables. Needs
 * bash alone, none of the helpers that distributions bring.
 *
 * SPDX-License-Identifier: MIT
 */
#include "../cli.h"

#include <stdio.h>
#include <string.h>

/* Words between bars ("m|ft") are offered; an argument that is called FILE, or has one in it, is a file. */
static bool takes_words(const char *argument)
{
    return strchr(argument, '|') != NULL;
}

static bool takes_file(const char *argument)
{
    return strstr(argument, "FILE") != NULL || strchr(argument, '/') != NULL;
}

static void put_words(const char *argument)
{
    for (const char *c = argument; *c != '\0'; c++) {
        (void)fputc(*c == '|' ? ' ' : *c, stdout);
    }
}

static void put_command_names(void)
{
    for (size_t i = 0; i < cli_command_count; i++) {
        (void)printf("%s ", cli_commands[i].name);
    }
    (void)printf("help");
}

/* Names that an option of this command is written with, as a pattern of `case`. */
static void put_pattern(const cli_option *option)
{
    (void)printf("        --%s", option->name);
    if (option->letter != 0) {
        (void)printf(" | -%c", option->letter);
    }
    (void)printf(")\n");
}

static void put_arguments(const cli_command *command)
{
    for (size_t i = 0; i < cli_option_count; i++) {
        const cli_option *option = &cli_option_table[i];
        if ((option->commands & command->bit) == 0 || option->argument == NULL) {
            continue;
        }
        put_pattern(option);
        if (takes_words(option->argument)) {
            (void)printf("            COMPREPLY=($(compgen -W '");
            put_words(option->argument);
            (void)printf("' -- \"$word\"))\n");
        } else if (takes_file(option->argument)) {
            (void)printf("            compopt -o filenames 2>/dev/null\n"
                         "            COMPREPLY=($(compgen -f -- \"$word\"))\n");
        }
        (void)printf("            return ;;\n");
    }
}

static void put_command(const cli_command *command)
{
    (void)printf("    %s)\n        case $before in\n", command->name);
    put_arguments(command);
    (void)printf("        esac\n        options='");
    for (size_t i = 0; i < cli_option_count; i++) {
        if ((cli_option_table[i].commands & command->bit) != 0) {
            (void)printf("--%s ", cli_option_table[i].name);
        }
    }
    (void)printf("' ;;\n");
}

int main(void)
{
    (void)printf("# SPDX-License-Identifier: MIT\n# Completion of hallreach (radio coverage) for bash.\n"
                 "_hallreach() {\n"
                 "    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]} options=''\n"
                 "    COMPREPLY=()\n"
                 "    # --name=value comes as three words\n"
                 "    if [ \"$word\" = '=' ]; then\n"
                 "        word=''\n"
                 "    elif [ \"$before\" = '=' ] && [ \"$COMP_CWORD\" -gt 2 ]; then\n"
                 "        before=${COMP_WORDS[COMP_CWORD - 2]}\n"
                 "    fi\n"
                 "    if [ \"$COMP_CWORD\" -eq 1 ] || { [ \"$COMP_CWORD\" -eq 2 ] && [ \"$before\" = help ]; }; then\n"
                 "        COMPREPLY=($(compgen -W '");
    put_command_names();
    (void)printf(" --help --version' -- \"$word\"))\n        return\n    fi\n    case ${COMP_WORDS[1]} in\n");
    for (size_t i = 0; i < cli_command_count; i++) {
        put_command(&cli_commands[i]);
    }
    (void)printf("    *) return ;;\n    esac\n"
                 "    case $word in\n"
                 "    -*) COMPREPLY=($(compgen -W \"$options\" -- \"$word\")) ;;\n"
                 "    *)\n        compopt -o filenames 2>/dev/null\n"
                 "        COMPREPLY=($(compgen -f -- \"$word\")) ;;\n"
                 "    esac\n}\ncomplete -F _hallreach hallreach\n");
    return fflush(stdout) == 0 && !ferror(stdout) ? 0 : 1;
}
