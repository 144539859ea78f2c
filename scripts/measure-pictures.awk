# The drawing of scripts/measure-pictures. Files: events.csv and curves.csv of a study's tables, then
# the capture's markers as CSV (mm, in the swing frame: x along, y depth, z height).
BEGIN { FS = ","; PI = atan2(0, -1) }
FNR == 1 { file++; line = 0 }
{ gsub(/"/, "") }
file <= 2 && FNR == 1 { for (i = 1; i <= NF; i++) column[$i] = i; next }
file == 1 { event[$column["event"]] = $column["time_s"]; next }
file == 2 {
    name = $column["series"]
    k = samples[name]++
    when[name, k] = $column["time_s"] + event["takeaway"]
    value[name, k] = $column["value"]
    next
}
/^#/ { next }
++line == 1 { for (i = 3; i <= NF; i++) marker[i] = $i; next }
{
    seconds[++frames] = $2
    for (i = 3; i <= NF; i++) place[frames, marker[i]] = $i
}
END { draw_all() }

# --- the body at a frame: at[f, point, "x"], from the markers -----------------------------------
function middle(f, point, a, b,    k, axis) {
    for (k = 1; k <= 3; k++) {
        axis = substr("xyz", k, 1)
        at[f, point, axis] = (place[f, a "." axis] + place[f, b "." axis]) / 2
    }
}
function between(f, point, a, b,    k, axis) { # of two points
    for (k = 1; k <= 3; k++) {
        axis = substr("xyz", k, 1)
        at[f, point, axis] = (at[f, a, axis] + at[f, b, axis]) / 2
    }
}
function stand(f,    s, side) {
    if (f in stood) return
    stood[f] = 1
    for (s = 1; s <= 2; s++) {
        side = substr("LR", s, 1)
        middle(f, side "shoulder", side "_ACROMION", side "_ACROMION")
        middle(f, side "elbow", side "_ELBOW_LAT", side "_ELBOW_MED")
        middle(f, side "wrist", side "_WRIST_RAD", side "_WRIST_ULN")
        middle(f, side "hand", side "_HAND_2", side "_HAND_5")
        middle(f, side "hip", side "_ASIS", side "_PSIS")
        middle(f, side "knee", side "_KNEE_LAT", side "_KNEE_MED")
        middle(f, side "ankle", side "_ANKLE_LAT", side "_ANKLE_MED")
        middle(f, side "heel", side "_HEEL", side "_HEEL")
        middle(f, side "toe", side "_TOE", side "_TOE")
    }
    between(f, "hands", "Lhand", "Rhand")
    between(f, "shoulders", "Lshoulder", "Rshoulder")
    between(f, "pelvis", "Lhip", "Rhip")
    middle(f, "front", "L_HEAD_FRONT", "R_HEAD_FRONT")
    middle(f, "back", "L_HEAD_BACK", "R_HEAD_BACK")
    between(f, "skull", "front", "back")
    middle(f, "grip", "CLUB_GRIP", "CLUB_GRIP")
    middle(f, "head", "CLUB_HEAD", "CLUB_HEAD")
    middle(f, "toe", "CLUB_TOE", "CLUB_TOE")
    middle(f, "heel", "CLUB_HEEL", "CLUB_HEEL")
}
function frame_at(name,    f) {
    for (f = 1; f < frames && seconds[f] < event[name]; f++);
    stand(f)
    return f
}

# --- the view: two axes of the swing frame onto the sheet ----------------------------------------
function view(across, up, left, bottom, pixels_per_mm) {
    H = across; V = up; X0 = left; Y0 = bottom; scale = pixels_per_mm
}
function X(mm) { return X0 + scale * mm }
function Y(mm) { return Y0 - scale * mm }
function h(f, point) { stand(f); return X(at[f, point, H]) }
function v(f, point) { stand(f); return Y(at[f, point, V]) }

# --- marks ---------------------------------------------------------------------------------------
function put(text) { print text >out }
function open_sheet(name, width, height, title) {
    out = folder "/" name ".svg"
    put("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 " width " " height \
        "\" width=\"" width "\" height=\"" height "\" role=\"img\" font-family=\"sans-serif\" font-size=\"14\">")
    put("<title>" title "</title>")
    put("<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>") # the page may be dark
}
function close_sheet() { put("</svg>"); close(out) }
function segment(x1, y1, x2, y2, style) {
    put(sprintf("<path d=\"M%.1f %.1fL%.1f %.1f\" fill=\"none\" %s/>", x1, y1, x2, y2, style))
}
function words(x, y, text, anchor, colour) {
    put(sprintf("<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\" fill=\"%s\">%s</text>", x, y, \
        anchor ? anchor : "start", colour ? colour : INK_COLOUR, text))
}
function dot(x, y, r, colour) {
    put(sprintf("<circle cx=\"%.1f\" cy=\"%.1f\" r=\"%.1f\" fill=\"%s\"/>", x, y, r, colour))
}
function arrow(x1, y1, x2, y2, colour, both,    a) {
    a = atan2(y2 - y1, x2 - x1)
    segment(x1, y1, x2, y2, "stroke=\"" colour "\" stroke-width=\"2\"")
    tip(x2, y2, a, colour)
    if (both) tip(x1, y1, a + PI, colour)
}
function tip(x, y, a, colour) {
    put(sprintf("<path d=\"M%.1f %.1fL%.1f %.1fL%.1f %.1fZ\" fill=\"%s\"/>", x, y, \
        x - 9 * cos(a - 0.35), y - 9 * sin(a - 0.35), x - 9 * cos(a + 0.35), y - 9 * sin(a + 0.35), colour))
}
# Angle at x, y from direction a to direction b (radians on the sheet, y down), the short way round.
function arc(x, y, r, a, b, label,    d, m) {
    d = b - a
    while (d > PI) d -= 2 * PI
    while (d < -PI) d += 2 * PI
    put(sprintf("<path d=\"M%.1f %.1fA%.1f %.1f 0 0 %d %.1f %.1f\" fill=\"none\" stroke=\"%s\" stroke-width=\"2\"/>", \
        x + r * cos(a), y + r * sin(a), r, r, d > 0, x + r * cos(b), y + r * sin(b), MARK))
    m = a + d / 2
    words(x + (r + 6) * cos(m), y + (r + 6) * sin(m) + 5, label, cos(m) < -0.3 ? "end" : cos(m) > 0.3 ? "start" : "middle", MARK)
}
function heading(x1, y1, x2, y2) { return atan2(y2 - y1, x2 - x1) }
function toward(f, from, to) { return heading(h(f, from), v(f, from), h(f, to), v(f, to)) }
function bone(f, a, b, style) { segment(h(f, a), v(f, a), h(f, b), v(f, b), style) }
function figure(f, colour, extra,    s, side, style) {
    style = "stroke=\"" colour "\" stroke-width=\"2.5\" stroke-linecap=\"round\" " extra
    for (s = 2; s >= 1; s--) {
        side = substr("LR", s, 1)
        bone(f, side "shoulder", side "elbow", style); bone(f, side "elbow", side "wrist", style)
        bone(f, side "wrist", side "hand", style)
        bone(f, side "hip", side "knee", style); bone(f, side "knee", side "ankle", style)
        bone(f, side "ankle", side "heel", style); bone(f, side "heel", side "toe", style)
    }
    bone(f, "Lshoulder", "Rshoulder", style); bone(f, "Lhip", "Rhip", style)
    bone(f, "pelvis", "shoulders", style); bone(f, "shoulders", "skull", style)
    put(sprintf("<circle cx=\"%.1f\" cy=\"%.1f\" r=\"%.1f\" fill=\"#ffffff\" %s/>", h(f, "skull"), v(f, "skull"), 100 * scale, style))
    bone(f, "hands", "head", "stroke=\"" SHAFT_COLOUR "\" stroke-width=\"2.5\" " extra)
    dot(h(f, "head"), v(f, "head"), 4, SHAFT_COLOUR)
}
function track(point, from, to, style,    f, d) {
    for (f = from; f <= to; f++) {
        stand(f)
        d = d sprintf("%s%.1f %.1f", f == from ? "M" : "L", h(f, point), v(f, point))
    }
    put("<path d=\"" d "\" fill=\"none\" " style "/>")
}
function floor_line(x1, x2) { segment(x1, Y(0), x2, Y(0), "stroke=\"#777777\" stroke-width=\"1.5\"") }
function rule(mm, top, label) {
    segment(X(mm), Y(0), X(mm), top, "stroke=\"#777777\" stroke-width=\"1.2\" stroke-dasharray=\"2 3\"")
    words(X(mm), top - 6, label, "middle", "#555555")
}

# --- the pictures --------------------------------------------------------------------------------
function draw_all() {
    INK_COLOUR = "#1c1c1c"; SHAFT_COLOUR = "#555555"; BODY = "#00518a"; MARK = "#b8500f"; PALE = "#9aa9b5"
    THIN = "stroke=\"" MARK "\" stroke-width=\"1.5\" stroke-dasharray=\"5 4\""
    BEFORE = "stroke-dasharray=\"4 4\" opacity=\"0.8\""
    start = frame_at("takeaway"); level = frame_at("lead_arm_level_backswing"); top = frame_at("club_top")
    contact = frame_at("impact")
    draw_hands(); draw_angles(); draw_turns(); draw_ledger(); draw_timing(); draw_impact(); draw_plane(); draw_speeds()
}
function draw_hands(    heel, f, up) {
    open_sheet("hands", 760, 520, "Hands: depth, height, foot span, transition shift")
    view("y", "z", 170, 470, 0.2)
    heel = (at[start, "Lheel", "y"] + at[start, "Rheel", "y"]) / 2
    words(20, 26, "along the target line, lead arm level in the backswing")
    floor_line(40, 380); rule(0, 100, "toe line"); rule(heel, 80, "heel line")
    figure(level, BODY, "")
    track("hands", start, top, "stroke=\"" MARK "\" stroke-width=\"2\"")
    dot(h(level, "hands"), v(level, "hands"), 5, MARK)
    arrow(X(0), v(level, "hands") , h(level, "hands"), v(level, "hands"), MARK, 1)
    words(315, v(level, "hands") - 8, "hand depth", "start", MARK)
    arrow(315, Y(0), 315, v(level, "hands"), MARK, 1)
    segment(h(level, "hands"), v(level, "hands"), 319, v(level, "hands"), THIN)
    words(323, 330, "hand height", "start", MARK)
    arrow(X(0), Y(0) + 18, X(heel), Y(0) + 18, MARK, 1)
    words(X(heel) + 10, Y(0) + 23, "one foot span", "start", MARK)

    view("y", "z", 545, 680, 0.36)
    words(440, 26, "the same path, up (line) and down (dashed)")
    track("hands", start, top, "stroke=\"" BODY "\" stroke-width=\"2.5\"")
    track("hands", top, contact, "stroke=\"" BODY "\" stroke-width=\"2.5\" stroke-dasharray=\"6 4\"")
    dot(h(top, "hands"), v(top, "hands"), 4, BODY); words(h(top, "hands") + 10, v(top, "hands"), "club top")
    dot(h(start, "hands"), v(start, "hands"), 4, BODY); words(h(start, "hands"), v(start, "hands") + 24, "takeaway", "middle")
    for (f = top; f < contact; f++) { stand(f); if (at[f, "hands", "z"] <= at[level, "hands", "z"]) break }
    dot(h(level, "hands"), v(level, "hands"), 4, MARK); dot(h(f, "hands"), v(f, "hands"), 4, MARK)
    segment(h(level, "hands"), v(level, "hands"), h(level, "hands"), v(level, "hands") + 60, THIN)
    segment(h(f, "hands"), v(f, "hands"), h(f, "hands"), v(level, "hands") + 60, THIN)
    arrow(h(level, "hands"), v(level, "hands") + 60, h(f, "hands"), v(level, "hands") + 60, MARK)
    words(h(level, "hands") + 12, v(level, "hands") + 65, "transition shift", "start", MARK)
    words(h(level, "hands") + 12, v(level, "hands") + 82, "at lead arm level", "start", MARK)
    close_sheet()
}
function draw_angles(    x, y) {
    open_sheet("angles", 760, 520, "Angles of arm, wrist, elbow, knee, shaft and thorax")
    view("y", "z", 150, 480, 0.24)
    words(20, 26, "along the target line, shaft level in the backswing")
    level = frame_at("shaft_level_backswing")
    floor_line(30, 380); figure(level, BODY, "")
    x = h(level, "Lshoulder"); y = v(level, "Lshoulder")
    segment(x, y, x, y + 120, THIN); bone(level, "Lshoulder", "Lwrist", THIN)
    arc(x, y, 100, PI / 2, toward(level, "Lshoulder", "Lwrist"), "")
    words(x + 50, y + 116, "lead arm from plumb", "start", MARK)
    arc(h(level, "Lknee"), v(level, "Lknee"), 30, toward(level, "Lhip", "Lknee"), toward(level, "Lknee", "Lankle"), "")
    segment(h(level, "Lknee"), v(level, "Lknee"), h(level, "Lknee") + 45 * cos(toward(level, "Lhip", "Lknee")), v(level, "Lknee") + 45 * sin(toward(level, "Lhip", "Lknee")), THIN)
    words(h(level, "Lknee") - 20, v(level, "Lknee") + 4, "knee flexion", "end", MARK)
    x = h(level, "pelvis"); y = v(level, "pelvis")
    segment(x, y, x, y - 150, THIN)
    arc(x, y, 110, -PI / 2, toward(level, "pelvis", "shoulders"), "")
    words(x + 8, y - 120, "forward tilt", "start", MARK)

    level = frame_at("lead_arm_level_backswing")
    view("x", "z", 600, 480, 0.19)
    words(420, 26, "from the front, lead arm level in the backswing")
    floor_line(440, 740); figure(level, BODY, "")
    x = h(level, "Lshoulder"); y = v(level, "Lshoulder")
    segment(x, y, x - 190, y, THIN); bone(level, "Lshoulder", "Lwrist", THIN)
    words(x + 16, y - 4, "lead-arm elevation:", "start", MARK); words(x + 16, y + 13, "0 when level", "start", MARK)
    x = h(level, "Lwrist"); y = v(level, "Lwrist")
    segment(x, y, x + 80 * cos(toward(level, "Lelbow", "Lwrist")), y + 80 * sin(toward(level, "Lelbow", "Lwrist")), THIN)
    arc(x, y, 60, toward(level, "Lelbow", "Lwrist"), toward(level, "hands", "head"), "")
    words(x - 62, y - 46, "wrist set", "end", MARK)
    x = h(level, "grip"); y = v(level, "grip")
    segment(x - 10, y - 30, x + 70, y - 30, THIN)
    arc(x, y - 30, 50, 0, toward(level, "hands", "head"), "")
    words(x + 56, y - 54, "shaft elevation", "start", MARK)
    x = h(level, "Relbow"); y = v(level, "Relbow")
    segment(x, y, x + 55 * cos(toward(level, "Rshoulder", "Relbow")), y + 55 * sin(toward(level, "Rshoulder", "Relbow")), THIN)
    arc(x, y, 28, toward(level, "Rshoulder", "Relbow"), toward(level, "Relbow", "Rwrist"), "")
    words(x - 30, y + 40, "elbow flexion", "end", MARK)
    close_sheet()
}
# A line between two points, through their middle, as long as `reach` times their distance.
function axis_line(f, a, b, reach, style,    x, y, dx, dy) {
    x = (h(f, a) + h(f, b)) / 2; y = (v(f, a) + v(f, b)) / 2
    dx = (h(f, b) - h(f, a)) / 2 * reach; dy = (v(f, b) - v(f, a)) / 2 * reach
    segment(x - dx, y - dy, x + dx, y + dy, style)
}
# Moves the view so that the middle of two points lies at left, bottom.
function centre_view(f, left, bottom, a, b) {
    view("x", "y", 0, 0, 0.42)
    X0 = left - (h(f, a) + h(f, b)) / 2
    Y0 = bottom - (v(f, a) + v(f, b)) / 2
}
function ray(x, y, reach, angle, style) {
    segment(x, y, x + reach * cos(angle), y + reach * sin(angle), style)
}
function turn(f, left, bottom, a, b, name) {
    centre_view(f, left, bottom, a, b)
    segment(h(f, a), v(f, a), h(f, b), v(f, b), "stroke=\"" BODY "\" stroke-width=\"4\"")
    dot(h(f, b), v(f, b), 6, BODY)
    ray(left, bottom, 120, toward(start, a, b), THIN)
    arc(left, bottom, 90, toward(start, a, b), toward(f, a, b), name)
}
function draw_turns(    x, y, chest) {
    open_sheet("turns", 760, 360, "Turns of pelvis and thorax from above")
    words(20, 26, "from above, club top (target to the right); dot: lead side, dashed: at address")
    turn(top, 90, 160, "Rhip", "Lhip", "pelvis turn"); words(110, 340, "pelvis", "middle")
    turn(top, 320, 160, "Rshoulder", "Lshoulder", "thorax turn"); words(340, 340, "thorax", "middle")
    x = 600; y = 160; centre_view(top, x, y, "Rshoulder", "Lshoulder"); chest = toward(top, "Rshoulder", "Lshoulder")
    ray(x, y, 110, toward(top, "Rhip", "Lhip"), "stroke=\"" PALE "\" stroke-width=\"4\"")
    bone(top, "Rshoulder", "Lshoulder", "stroke=\"" BODY "\" stroke-width=\"4\"")
    bone(top, "Lshoulder", "Lelbow", "stroke=\"" BODY "\" stroke-width=\"3\"")
    arc(x, y, 60, toward(top, "Rhip", "Lhip"), chest, "separation")
    ray(h(top, "Lshoulder"), v(top, "Lshoulder"), 60, chest, THIN)
    arc(h(top, "Lshoulder"), v(top, "Lshoulder"), 36, chest, toward(top, "Lshoulder", "Lelbow"), "")
    words(h(top, "Lshoulder") - 44, v(top, "Lshoulder") + 30, "lead arm across chest", "end", MARK)
    words(590, 340, "thorax and lead arm over pelvis (pale)", "middle")
    close_sheet()
}
# Registered sample 50 of a curve is club top.
function draw_ledger(    part, n, i, x, y, dx, dy, colour) {
    open_sheet("ledger", 760, 520, "Depth ledger: pelvis, thorax, arms")
    view("y", "z", 200, 470, 0.22)
    words(20, 26, "along the target line, takeaway (dashed) and club top")
    floor_line(60, 400); figure(start, PALE, BEFORE); figure(top, BODY, "")
    track("hands", start, top, "stroke=\"" MARK "\" stroke-width=\"2\"")
    view("y", "z", 560, 670, 0.29)
    words(440, 26, "the hands' way, by what made it")
    track("hands", start, top, "stroke=\"" PALE "\" stroke-width=\"2\"")
    x = at[start, "hands", "y"]; y = at[start, "hands", "z"]
    dot(X(x), Y(y), 5, BODY); words(X(x), Y(y) + 22, "takeaway", "middle")
    n = split("pelvis thorax arms", part, " ")
    split("#12395b #3b7db5 " MARK, colour, " ")
    for (i = 1; i <= n; i++) {
        dx = value["depth_from_" part[i], 50]; dy = value["height_from_" part[i], 50]
        arrow(X(x), Y(y), X(x + dx), Y(y + dy), colour[i])
        segment(430, 55 + 22 * i, 452, 55 + 22 * i, "stroke=\"" colour[i] "\" stroke-width=\"4\"")
        words(460, 60 + 22 * i, sprintf("%s: %+.0f mm deep, %+.0f mm high", part[i], dx, dy), "start", colour[i])
        x += dx; y += dy
    }
    dot(X(x), Y(y), 5, BODY); words(X(x) + 10, Y(y) - 6, "club top")
    close_sheet()
}
function curve(name, t0, sx, base, sy, style,    k, d) {
    for (k = 0; k < samples[name]; k++)
        if (value[name, k] != "" && when[name, k] <= until)
            d = d sprintf("%s%.1f %.1f", d == "" ? "M" : "L", t0 + sx * when[name, k], base - sy * value[name, k])
    put("<path d=\"" d "\" fill=\"none\" " style "/>")
}
function span(from, to, y, label) {
    arrow(T0 + SX * event[from], y, T0 + SX * event[to], y, MARK, 1)
    words(T0 + SX * (event[from] + event[to]) / 2, y - 6, label, "middle", MARK)
}
function stem(name, y, label) {
    segment(T0 + SX * event[name], 330, T0 + SX * event[name], y, "stroke=\"#777777\" stroke-width=\"1\" stroke-dasharray=\"2 3\"")
    words(T0 + SX * event[name], y - 5, label, "middle", "#555555")
}
function draw_timing() {
    open_sheet("timing", 800, 470, "Timing: events and the intervals between them")
    words(20, 26, "club-head speed from takeaway to finish")
    SX = 430; T0 = 50 - SX * event["takeaway"]; until = 1e9
    segment(30, 330, 740, 330, "stroke=\"#777777\" stroke-width=\"1.5\"")
    stem("takeaway", 250, "takeaway"); stem("shaft_level_backswing", 215, "shaft level"); stem("lead_arm_level_backswing", 180, "lead arm level")
    stem("club_top", 145, "club top"); stem("lead_arm_level_downswing", 110, "lead arm level"); stem("impact", 60, "impact")
    stem("finish", 215, "finish")
    curve("club_head_speed", T0, SX, 330, 6, "stroke=\"" BODY "\" stroke-width=\"2.5\"")
    span("takeaway", "club_top", 360, "backswing time"); span("club_top", "impact", 360, "downswing time")
    span("takeaway", "lead_arm_level_backswing", 400, "a"); span("takeaway", "impact", 430, "b")
    words(520, 405, "half-time fraction = a / b", "start", MARK)
    words(520, 430, "tempo ratio = backswing / downswing", "start", MARK)
    words(730, 350, "time", "end", "#555555")
    close_sheet()
}
function draw_impact(    x, y, a, b, f) {
    open_sheet("impact", 760, 520, "Impact: shaft lean, pelvis, face to path")
    view("x", "z", 190, 470, 0.24)
    words(20, 26, "from the front, impact (target to the right)")
    floor_line(40, 360); figure(start, PALE, BEFORE); figure(contact, BODY, "")
    x = h(contact, "head"); y = v(contact, "head")
    segment(x, y, x, y - 150, THIN); arc(x, y, 120, -PI / 2, toward(contact, "head", "grip"), "")
    words(x - 10, y - 125, "shaft lean", "end", MARK)
    arrow(h(start, "pelvis"), v(start, "pelvis") - 14, h(contact, "pelvis"), v(start, "pelvis") - 14, MARK)
    words(h(contact, "pelvis") + 45, v(start, "pelvis") - 10, "pelvis along", "start", MARK)
    view("x", "y", 540, 240, 0.5)
    words(430, 26, "from above")
    axis_line(start, "Lhip", "Rhip", 1, "stroke=\"" PALE "\" stroke-width=\"4\" stroke-dasharray=\"6 4\"")
    axis_line(contact, "Lhip", "Rhip", 1, "stroke=\"" BODY "\" stroke-width=\"4\"")
    arrow(h(contact, "pelvis"), v(start, "pelvis"), h(contact, "pelvis"), v(contact, "pelvis"), MARK)
    words(h(contact, "pelvis") + 60, v(contact, "pelvis") + 24, "pelvis depth", "start", MARK)
    view("x", "y", 0, 0, 0.9)
    X0 = 540 - h(contact, "head"); Y0 = 380 - v(contact, "head")
    segment(h(contact, "heel"), v(contact, "heel"), h(contact, "toe"), v(contact, "toe"), "stroke=\"" BODY "\" stroke-width=\"5\"")
    x = (h(contact, "heel") + h(contact, "toe")) / 2; y = (v(contact, "heel") + v(contact, "toe")) / 2
    f = contact - 1; stand(f); a = heading(h(f, "head"), v(f, "head"), h(contact, "head"), v(contact, "head"))
    b = toward(contact, "heel", "toe") - PI / 2
    if (cos(b) < 0) b += PI
    arrow(x, y, x + 120 * cos(a), y + 120 * sin(a), SHAFT_COLOUR)
    arrow(x, y, x + 120 * cos(b), y + 120 * sin(b), BODY)
    arc(x, y, 90, a, b, "")
    words(x + 40, y + 76, "face to path: from the path (grey) to", "middle", MARK)
    words(x + 40, y + 94, "the normal of the face (blue)", "middle", MARK)
    close_sheet()
}
function draw_plane(    from, to, a, x, y, f, far) {
    from = frame_at("shaft_level_downswing"); to = frame_at("shaft_level_follow_through")
    open_sheet("plane", 760, 520, "Swing plane of the club head")
    view("y", "z", 290, 470, 0.24)
    words(20, 26, "along the target line, shaft level in the downswing")
    floor_line(40, 400); figure(from, BODY, "")
    track("head", from, to, "stroke=\"" MARK "\" stroke-width=\"3\"")
    x = h(contact, "head"); y = v(contact, "head")
    for (f = from; f <= to; f++) { stand(f); if (!far || at[f, "head", "z"] > at[far, "head", "z"]) far = f }
    a = heading(x, y, h(far, "head"), v(far, "head"))
    segment(x - 30 * cos(a), y - 30 * sin(a), x + 330 * cos(a), y + 330 * sin(a), THIN)
    arc(x, y, 90, 0, a, ""); words(x + 70, y - 70, "slope", "start", MARK)
    words(x + 235 * cos(a) - 16, y + 235 * sin(a), "plane, edge on", "end", MARK)
    view("x", "y", 590, 190, 0.13)
    words(430, 26, "from above (target to the right)")
    track("head", from, to, "stroke=\"" MARK "\" stroke-width=\"3\"")
    for (f = contact; f <= to; f++) { stand(f); if (at[f, "head", "z"] >= at[from, "head", "z"]) break }
    segment(h(from, "head"), v(from, "head"), h(f, "head"), v(f, "head"), THIN)
    arrow(X(-1000), Y(at[contact, "head", "y"]), X(1000), Y(at[contact, "head", "y"]), "#777777")
    words(X(1000), Y(at[contact, "head", "y"]) + 18, "target line", "end", "#555555")
    words(590, 330, "direction: of a level line in the plane", "middle", MARK)
    words(590, 348, "(dashed) against the target line", "middle", MARK)
    close_sheet()
}
function peak(name, scale_y, colour, label, row,    k, best) {
    curve(name, T0, SX, 330, scale_y, "stroke=\"" colour "\" stroke-width=\"2.5\"")
    best = -1
    for (k = 50; k < samples[name]; k++)
        if (when[name, k] <= event["shaft_level_follow_through"] && (best < 0 || value[name, k] > value[name, best])) best = k
    dot(T0 + SX * when[name, best], 330 - scale_y * value[name, best], 5, colour)
    segment(T0 + SX * when[name, best], 330 - scale_y * value[name, best], T0 + SX * when[name, best], 340 + 24 * row, "stroke=\"" colour "\" stroke-width=\"1\" stroke-dasharray=\"2 3\"")
    segment(T0 + SX * when[name, best], 340 + 24 * row, T0 + SX * event["impact"], 340 + 24 * row, "stroke=\"" colour "\" stroke-width=\"3\"")
    words(40, 344 + 24 * row, label, "start", colour)
}
function draw_speeds(    k) {
    open_sheet("speeds", 760, 470, "Angular speeds and the leads of their peaks")
    words(20, 26, "angular speeds in the downswing, each on a scale of its own; dot: peak")
    SX = 1300; T0 = 280 - SX * event["club_top"]; until = event["shaft_level_follow_through"] + 0.03
    for (k in when) if (when[k] < event["club_top"] - 0.02) value[k] = ""
    segment(210, 330, 740, 330, "stroke=\"#777777\" stroke-width=\"1.5\"")
    stem("club_top", 70, "club top"); stem("impact", 50, "impact")
    segment(T0 + SX * event["impact"], 330, T0 + SX * event["impact"], 450, "stroke=\"#777777\" stroke-width=\"1\" stroke-dasharray=\"2 3\"")
    peak("pelvis_angular_speed", 0.30, "#12395b", "pelvis, lead of its peak", 1)
    peak("thorax_angular_speed", 0.28, "#3b7db5", "thorax", 2)
    peak("lead_arm_angular_speed", 0.19, "#555555", "lead arm", 3)
    peak("club_angular_speed", 0.105, MARK, "club", 4)
    close_sheet()
}
