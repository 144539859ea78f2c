#include "io/report/html.h"
#include "io/files.h"

#include <ctype.h>
#include <nettle/base64.h>
#include <stdlib.h>
#include <string.h>

/* Light and dark by the reader's setting; one column on a phone, two where there is room; figures
 * and table rows are not cut in print. Contrast of text is 7:1 or better in both schemes. */
static const char style[] =
    ":root{color-scheme:light dark;--ink:#1c1c1c;--soft:#4a4a4a;--paper:#fdfcf9;--line:#c9c5bb;"
    "--lead:#fff1dc;--edge:#b4560f;--link:#00518a;--row:#f3f0e8;--warn:#ffe1dd;--alarm:#b3261e}"
    "@media (prefers-color-scheme:dark){:root{--ink:#ececec;--soft:#c2c2c2;--paper:#16181b;"
    "--line:#4a4e54;--lead:#35260f;--edge:#f0a050;--link:#8cc8ff;--row:#20242a;--warn:#3d1815;--"
    "alarm:#ff8a80}}"
    "*{box-sizing:border-box}"
    "body{margin:0 auto;max-width:64rem;padding:1rem;font:1rem/1.55 system-ui,sans-serif;"
    "color:var(--ink);background:var(--paper);overflow-wrap:anywhere}"
    "h1{font-size:1.5rem;line-height:1.25;margin:.4rem 0}"
    "h2{font-size:1.2rem;margin:2rem 0 .5rem;border-bottom:1px solid var(--line)}"
    "h3{font-size:1rem;margin:1.2rem 0 .3rem}a{color:var(--link)}"
    ".lead{font-size:1.2rem;line-height:1.45;background:var(--lead);"
    "border-left:.4rem solid var(--edge);padding:.8rem 1rem;margin:1rem 0}"
    ".warn{background:var(--warn);border-left-color:var(--alarm)}"
    ".soft{color:var(--soft);font-size:.9rem}"
    ".grid{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,22rem),1fr));gap:"
    "1rem;"
    "align-items:start}"
    "figure{margin:0;break-inside:avoid}"
    "figure img{display:block;width:100%;height:auto;background:#fff;border:1px solid var(--line);"
    "border-radius:.4rem}figcaption{font-size:.9rem;color:var(--soft);padding:.3rem .1rem}"
    ".scroll{overflow-x:auto}table{border-collapse:collapse;width:100%;font-size:.9rem}"
    "caption{text-align:left;font-weight:600;padding:.4rem 0}"
    "th,td{text-align:left;vertical-align:top;padding:.3rem .6rem;"
    "border-bottom:1px solid var(--line);overflow-wrap:normal}"
    "tbody "
    "th{min-width:11rem}td.n,th.n{text-align:right;white-space:nowrap;font-variant-numeric:tabular-"
    "nums}"
    "thead th.n{white-space:normal}.measures td:last-child{min-width:9rem}"
    "tbody tr:nth-child(even){background:var(--row)}tr.out td,tr.out th{font-weight:600}"
    "dt{font-weight:600;margin-top:.6rem}dd{margin:0 0 0 1rem}.terms .soft{font-size:inherit}"
    ".facts{display:grid;grid-template-columns:minmax(8rem,auto) 1fr;gap:.2rem "
    "1rem;font-size:.9rem}"
    ".facts dt{margin:0}.facts dd{margin:0}"
    "pre{white-space:pre-wrap;font-size:.85rem;background:var(--row);padding:.6rem}"
    "@media (min-width:40rem){tbody th{min-width:11rem}}"
    "@media (max-width:40rem){.stack thead{display:none}.stack tr{display:block;padding:.5rem 0}"
    ".stack td,.stack th{display:block;border:0;padding:.1rem .6rem}"
    ".stack tr{border-bottom:1px solid var(--line)}.stack td:empty{display:none}}"
    "@media print{body{max-width:none;padding:0;font-size:9.5pt;line-height:1.35;background:#fff;"
    "color:#000}h1{font-size:14pt}h2{font-size:12pt;margin:4mm 0 1.5mm}h3{font-size:10pt;"
    "margin:2.5mm 0 1mm}p{margin:1.5mm 0}ul{margin:1.5mm 0}"
    ".lead{font-size:11pt;line-height:1.35;padding:2mm 3mm;margin:2mm 0;print-color-adjust:exact}"
    ".soft,figcaption{font-size:8.5pt}figcaption{line-height:1.25}"
    ".grid{grid-template-columns:1fr 1fr;gap:3mm}figure img{max-height:112mm;object-fit:contain}"
    ".scroll{overflow:visible}table{font-size:8pt;line-height:1.2}th,td{padding:.4mm 1.2mm}"
    "tbody th{min-width:0}.measures tbody "
    "th{min-width:58mm}.terms{columns:2;font-size:8pt;line-height:1.25;margin:0}"
    ".terms dt{margin-top:1mm;break-after:avoid}.terms dd{margin-left:3mm;break-inside:avoid}"
    ".facts,pre{font-size:8pt;line-height:1.25}tr,.lead{break-inside:avoid}"
    "h2,h3{break-after:avoid}a{color:inherit;text-decoration:none}}@page{margin:12mm}";

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

void swt_html_begin(swt_text *page, const char *title)
{
    swt_text_add(page, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                       "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\n"
                       "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
                       "img-src data:; style-src 'unsafe-inline'\">\n<title>");
    swt_html_text(page, title);
    swt_text_add(page, "</title>\n<style>%s</style>\n</head>\n<body>\n<main>\n", style);
}

void swt_html_end(swt_text *page)
{
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
    char *coded;
    size_t size;
    swt_status rc = swt_file_read(&bytes, &size, path, err);

    if (rc != SWT_OK)
        return rc;
    coded = malloc(BASE64_ENCODE_RAW_LENGTH(size) + 1);
    if (!coded) {
        free(bytes);
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    base64_encode_raw(coded, size, bytes);
    swt_text_add(page, "<figure><img src=\"data:image/%s;base64,",
                 dot && strcmp(dot, ".png") == 0 ? "png" : "svg+xml");
    swt_text_put(page, coded, BASE64_ENCODE_RAW_LENGTH(size));
    swt_text_add(page, "\" alt=\"");
    swt_html_text(page, alt);
    swt_text_add(page, "\">");
    if (caption) {
        swt_text_add(page, "<figcaption>");
        swt_html_text(page, caption);
        swt_text_add(page, "</figcaption>");
    }
    swt_text_add(page, "</figure>\n");
    free(coded);
    free(bytes);
    return SWT_OK;
}

/* A column whose name begins with '#' holds numbers. */
void swt_html_table_begin(swt_text *page, const char *caption, const char *class_name,
                          const char *const *column, size_t n)
{
    swt_text_add(page, "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"");
    swt_html_text(page, caption);
    swt_text_add(page, "\"><table class=\"%s\"><caption>", class_name);
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
