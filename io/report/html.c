#include "io/report/html.h"
#include "io/files.h"
#include "web_files.h" /* made by CMake from io/report/web */

#include <ctype.h>
#include <openssl/sha.h>
#include <stdlib.h>
#include <string.h>

void swt_html_text(swt_text *page, const char *text)
{
    size_t room = 4 * strlen(text) + 8;
    char *clean = malloc(room);

    if (!clean) {
        page->failed = true;
        return;
    }
    swt_text_clean(clean, room, text, strlen(text));
    for (const char *s = clean; *s; s++)
        switch (*s) {
        case '&':
            swt_text_put(page, "&amp;", 5);
            break;
        case '<':
            swt_text_put(page, "&lt;", 4);
            break;
        case '>':
            swt_text_put(page, "&gt;", 4);
            break;
        case '"':
            swt_text_put(page, "&quot;", 6);
            break;
        case '\'':
            swt_text_put(page, "&#39;", 5);
            break;
        default:
            swt_text_put(page, s, 1);
        }
    free(clean);
}

static const struct {
    const char *text;
    size_t length;
} script[] = {[SWT_HTML_TABLE] = {swt_web_table_js, sizeof swt_web_table_js - 1},
              [SWT_HTML_SPACE] = {swt_web_space_js, sizeof swt_web_space_js - 1},
              [SWT_HTML_REPLAY] = {swt_web_replay_js, sizeof swt_web_replay_js - 1}};

/* " 'sha256-...'": the page's own scripts run, and nothing else that may get into it. */
static void add_hash(swt_text *page, const char *text, size_t length)
{
    unsigned char digest[SHA256_DIGEST_LENGTH];

    if (!SHA256((const unsigned char *)text, length, digest)) {
        page->failed = true;
        return;
    }
    swt_text_add(page, " 'sha256-");
    swt_text_put_base64(page, digest, sizeof digest);
    swt_text_add(page, "'");
}

void swt_html_begin(swt_text *page, const char *title)
{
    swt_text_add(page, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                       "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\n"
                       "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
                       "img-src data:; style-src 'unsafe-inline'; script-src");
    for (size_t i = 0; i < sizeof script / sizeof *script; i++)
        add_hash(page, script[i].text, script[i].length);
    swt_text_add(page, "\">\n<title>");
    swt_html_text(page, title);
    swt_text_add(page, "</title>\n<style>");
    swt_text_put(page, swt_web_page_css, sizeof swt_web_page_css - 1);
    swt_text_add(page, "</style>\n</head>\n<body>\n<main>\n");
}

void swt_html_script(swt_text *page, swt_html_script_name name)
{
    swt_text_add(page, "<script>");
    swt_text_put(page, script[name].text, script[name].length);
    swt_text_add(page, "</script>\n");
}

void swt_html_end(swt_text *page)
{
    swt_html_script(page, SWT_HTML_TABLE);
    swt_text_add(page, "</main>\n</body>\n</html>\n");
}

void swt_html_heading(swt_text *page, int level, const char *id, const char *text)
{
    swt_text_add(page, id ? "<h%d id=\"%s\">" : "<h%d>", level, id);
    swt_html_text(page, text);
    swt_text_add(page, "</h%d>\n", level);
}

void swt_html_paragraph(swt_text *page, const char *class_name, const char *text)
{
    swt_text_add(page, class_name ? "<p class=\"%s\">" : "<p>", class_name);
    swt_html_text(page, text);
    swt_text_add(page, "</p>\n");
}

void swt_html_link(swt_text *page, const char *href, const char *text)
{
    swt_text_add(page, "<a href=\"");
    swt_html_text(page, href);
    swt_text_add(page, "\">");
    swt_html_text(page, text);
    swt_text_add(page, "</a>");
}

swt_status swt_html_figure(swt_text *page, const char *path, const char *alt, const char *caption,
                           swt_error *err)
{
    const char *dot = strrchr(path, '.');
    unsigned char *bytes;
    size_t size;
    swt_status rc = swt_file_read(&bytes, &size, path, err);

    if (rc != SWT_OK)
        return rc;
    swt_text_add(page, "<figure><img src=\"data:image/%s;base64,",
                 dot && strcmp(dot, ".png") == 0 ? "png" : "svg+xml");
    swt_text_put_base64(page, bytes, size);
    swt_text_add(page, "\" alt=\"");
    swt_html_text(page, alt);
    swt_text_add(page, "\">");
    if (caption) {
        swt_text_add(page, "<figcaption>");
        swt_html_text(page, caption);
        swt_text_add(page, "</figcaption>");
    }
    swt_text_add(page, "</figure>\n");
    free(bytes);
    return SWT_OK;
}

/* A column whose name begins with '#' holds numbers. */
void swt_html_table_begin(swt_text *page, const char *caption, const char *class_name,
                          const char *const *column, size_t n)
{
    swt_text_add(page, "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"");
    swt_html_text(page, caption);
    swt_text_add(page, "\"><table class=\"sort %s\"><caption>", class_name);
    swt_html_text(page, caption);
    swt_text_add(page, "</caption>\n<thead><tr>");
    for (size_t i = 0; i < n; i++) {
        bool number = column[i][0] == '#';
        swt_text_add(page, number ? "<th scope=\"col\" class=\"n\">" : "<th scope=\"col\">");
        swt_html_text(page, column[i] + (number ? 1 : 0));
        swt_text_add(page, "</th>");
    }
    swt_text_add(page, "</tr></thead>\n<tbody>\n");
}

void swt_html_table_end(swt_text *page)
{
    swt_text_add(page, "</tbody></table></div>\n");
}

void swt_html_number_cell(swt_text *page, const char *text)
{
    swt_text_add(page, "<td class=\"n\">");
    swt_html_text(page, text);
    swt_text_add(page, "</td>");
}

swt_status swt_html_write(const swt_text *page, const char *path, swt_error *err)
{
    swt_file_draft draft;
    swt_status rc = swt_text_check(page, err);

    if (rc != SWT_OK)
        return rc;
    rc = swt_draft_open(&draft, path, err);
    if (rc != SWT_OK)
        return rc;
    fwrite(page->bytes, 1, page->length, draft.stream);
    return swt_draft_commit(&draft, err);
}

char *swt_html_slug(char *out, size_t size, const char *text)
{
    size_t n = 0;

    for (const unsigned char *s = (const unsigned char *)text; *s && n + 1 < size && n < 40; s++) {
        char c = *s < 0x80 && isalnum(*s) ? (char)tolower(*s) : '-';
        if (c != '-' || (n > 0 && out[n - 1] != '-'))
            out[n++] = c;
    }
    while (n > 0 && out[n - 1] == '-')
        n--;
    if (n == 0)
        out[n++] = 'x';
    out[n] = '\0';
    return out;
}
