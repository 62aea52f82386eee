/* SPDX-License-Identifier: MIT
   The script of --page: storey picker, pan and zoom, room finder, budgets, sorting and filtering. The page is whole
   without it; nothing is fetched, stored or sent. */
(function () {
  "use strict";
  var data = JSON.parse(document.getElementById("data").textContent);
  var NAME = 0, ROOM = 1, KIND = 2, GATEWAY = 3, VIA = 4, HOPS = 5, DISTANCE = 6, DIRECTION = 7, RECEIVED = 8, MARGIN = 9,
    REQUIRED = 10, SPARE = 11, RELIABILITY = 12, SERVED = 13, REASON = 14, LINES = 15;
  var storeys = Array.prototype.slice.call(document.querySelectorAll(".storey"));
  var detail = document.getElementById("detail");
  var shown = 0, picked = -1, marked = null;

  /* ---- small change ---- */

  function make(name, attributes, children) {
    var element = document.createElement(name);
    Object.keys(attributes || {}).forEach(function (key) { element.setAttribute(key, attributes[key]); });
    (children || []).forEach(function (child) {
      element.appendChild(typeof child === "string" ? document.createTextNode(child) : child);
    });
    return element;
  }
  function button(text, act, attributes) {
    var element = make("button", attributes || {}, [text]);
    element.type = "button";
    element.addEventListener("click", act);
    return element;
  }
  function fixed(value, decimals) {
    return value === null ? "-" : value.toFixed(decimals).replace(/^-(0(\.0*)?)$/, "$1");
  }
  function share(value) { return value > 0.9995 ? "over 99.9 %" : fixed(100 * value, 1) + " %"; }
  function label(text, control) {
    return make("div", {}, [make("label", { "for": control.id }, [text]), control]);
  }
  function options(select, words) {
    words.forEach(function (word) { select.appendChild(make("option", { value: word[0] }, [word[1]])); });
  }

  /* ---- plans: one storey at a time, its view box is what is seen ---- */

  var views = storeys.map(function (storey) {
    var svg = storey.querySelector("svg");
    if (!svg) { return null; }
    var box = svg.getAttribute("viewBox").split(/[ ,]+/).map(Number);
    return { svg: svg, all: box, now: box.slice() };
  });

  function draw(view) {
    view.svg.setAttribute("viewBox", view.now.join(" "));
    view.svg.classList.toggle("near", view.now[2] < view.all[2] * 0.999);
  }
  function clamp(view) {
    var all = view.all, now = view.now;
    now[2] = Math.min(Math.max(now[2], all[2] / 24), all[2]);
    now[3] = now[2] * all[3] / all[2];
    now[0] = Math.min(Math.max(now[0], all[0] - now[2] / 3), all[0] + all[2] - now[2] * 2 / 3);
    now[1] = Math.min(Math.max(now[1], all[1] - now[3] / 3), all[1] + all[3] - now[3] * 2 / 3);
    if (now[2] >= all[2]) { view.now = all.slice(); }
    draw(view);
  }
  function zoom(view, factor, x, y) {
    var now = view.now;
    if (x === undefined) { x = now[0] + now[2] / 2; y = now[1] + now[3] / 2; }
    var width = Math.min(Math.max(now[2] * factor, view.all[2] / 24), view.all[2]);
    var share = width / now[2];
    view.now = [x - (x - now[0]) * share, y - (y - now[1]) * share, width, now[3] * share];
    clamp(view);
  }
  function pan(view, x, y) {
    view.now[0] += x * view.now[2];
    view.now[1] += y * view.now[3];
    clamp(view);
  }
  function whole(view) {
    view.now = view.all.slice();
    draw(view);
  }
  function at(view, event) {
    var matrix = view.svg.getScreenCTM();
    var point = view.svg.createSVGPoint();
    point.x = event.clientX;
    point.y = event.clientY;
    return matrix ? point.matrixTransform(matrix.inverse()) : point;
  }
  function current() { return views[shown]; }

  function show(index) {
    shown = index;
    storeys.forEach(function (storey, i) { storey.classList.toggle("away", i !== index); });
    storeyPicker.value = String(index);
    markRoom();
  }

  /* Fingers and mouse: one drags, two pinch. A click that moved is no click. */
  function listen(view, storey) {
    var down = {}, moved = false;
    view.svg.addEventListener("pointerdown", function (event) {
      if (event.button > 0) { return; }
      down[event.pointerId] = { x: event.clientX, y: event.clientY };
      if (Object.keys(down).length === 1) { moved = false; }
    });
    view.svg.addEventListener("pointermove", function (event) {
      var was = down[event.pointerId];
      if (!was) { return; }
      var ids = Object.keys(down);
      var scale = view.svg.getScreenCTM().a;
      var dx = event.clientX - was.x, dy = event.clientY - was.y;
      if (!moved && Math.abs(dx) + Math.abs(dy) < 6) { return; }
      moved = true;
      if (!view.svg.hasPointerCapture(event.pointerId)) { view.svg.setPointerCapture(event.pointerId); }
      if (ids.length === 1) {
        view.now[0] -= dx / scale;
        view.now[1] -= dy / scale;
        clamp(view);
      } else if (ids.length === 2) {
        var other = down[ids[0] === String(event.pointerId) ? ids[1] : ids[0]];
        var before = Math.hypot(was.x - other.x, was.y - other.y), after = Math.hypot(event.clientX - other.x, event.clientY - other.y);
        var middle = at(view, { clientX: (event.clientX + other.x) / 2, clientY: (event.clientY + other.y) / 2 });
        if (before > 0 && after > 0) { zoom(view, before / after, middle.x, middle.y); }
      }
      down[event.pointerId] = { x: event.clientX, y: event.clientY };
    });
    ["pointerup", "pointercancel", "pointerleave"].forEach(function (name) {
      view.svg.addEventListener(name, function (event) { delete down[event.pointerId]; });
    });
    /* the wheel scrolls the page unless the plan was taken up first, or Ctrl is held */
    view.svg.addEventListener("wheel", function (event) {
      if (!event.ctrlKey && !storey.contains(document.activeElement)) { return; }
      event.preventDefault();
      var point = at(view, event);
      zoom(view, event.deltaY > 0 ? 1.2 : 1 / 1.2, point.x, point.y);
    }, { passive: false });
    view.svg.addEventListener("click", function (event) {
      var shape = event.target.closest("[data-room]");
      if (moved || !shape) { return; }
      pickByName(shape.getAttribute("data-room"));
    });
  }

  /* ---- keyboard on the plan: one room is in the tab order, arrows go from room to room ---- */

  var shapes = storeys.map(function (storey) {
    return Array.prototype.slice.call(storey.querySelectorAll("[data-room]"));
  });
  var roomIndex = {}, shapeOf = {};
  data.rooms.forEach(function (room, i) { roomIndex[room[0].toLowerCase()] = i; });

  function middle(shape) {
    var box = shape.getBBox();
    return [box.x + box.width / 2, box.y + box.height / 2];
  }
  function nearest(list, from, x, y) {
    var start = middle(from), best = null, least = Infinity;
    list.forEach(function (shape) {
      if (shape === from) { return; }
      var to = middle(shape), along = (to[0] - start[0]) * x + (to[1] - start[1]) * y;
      var aside = Math.abs((to[0] - start[0]) * y) + Math.abs((to[1] - start[1]) * x);
      if (along > 1 && along + 2 * aside < least) { least = along + 2 * aside; best = shape; }
    });
    return best;
  }
  function rove(list, shape) {
    list.forEach(function (other) { other.setAttribute("tabindex", other === shape ? "0" : "-1"); });
  }
  function verdict(room) {
    if (room[2] < 0) { return "no device"; }
    var worst = data.devices[room[2]];
    return (room[3] ? "served, " : "not served, ") + fixed(worst[SPARE], 1) + " dB to spare";
  }
  function prepare(list, view) {
    list.forEach(function (shape) {
      var name = shape.getAttribute("data-room"), index = roomIndex[name.toLowerCase()];
      if (index === undefined) { return; }
      shapeOf[index] = shape;
      shape.setAttribute("role", "button");
      shape.setAttribute("aria-label", "Room " + name + ", " + verdict(data.rooms[index]));
      shape.addEventListener("keydown", function (event) {
        var ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
        if (event.key === "Enter" || event.key === " ") {
          event.preventDefault();
          pick(index, true);
        } else if (ways[event.key]) {
          event.preventDefault();
          var next = nearest(list, shape, ways[event.key][0], ways[event.key][1]);
          if (next) { rove(list, next); next.focus({ preventScroll: true }); bring(view, next); }
        } else if (event.key === "+" || event.key === "=") { zoom(view, 1 / 1.5);
        } else if (event.key === "-") { zoom(view, 1.5);
        } else if (event.key === "0") { whole(view); }
      });
    });
    if (list.length > 0) { rove(list, list[0]); }
  }
  /* Moves the view so that the shape is in it. */
  function bring(view, shape) {
    var to = middle(shape), now = view.now;
    if (to[0] < now[0] || to[0] > now[0] + now[2] || to[1] < now[1] || to[1] > now[1] + now[3]) {
      view.now = [to[0] - now[2] / 2, to[1] - now[3] / 2, now[2], now[3]];
      clamp(view);
    }
  }
  function markRoom() {
    if (marked !== null) { marked.classList.remove("picked"); }
    marked = shapeOf[picked] || null;
    if (marked !== null) { marked.classList.add("picked"); }
  }

  /* ---- a room's budgets ---- */

  function far(device) {
    if (device[VIA] >= 0) { return data.devices[device[VIA]][NAME]; }
    return device[GATEWAY] >= 0 ? data.gateways[device[GATEWAY]][0] : "no gateway";
  }
  function row(name, db, note, kind) {
    return make("tr", kind ? { "class": kind } : {}, [make("th", { scope: "row" }, [name]), make("td", { "class": "n" }, [fixed(db, 1)]), make("td", {}, [note])]);
  }
  function budget(device) {
    var body = make("tbody"), lines = device.slice(LINES);
    for (var i = 0; i < lines.length; i += 3) {
      body.appendChild(row(data.words[lines[i]], lines[i + 1], data.words[lines[i + 2]]));
    }
    body.appendChild(row("link margin", device[MARGIN], "the sum of the lines", "total"));
    body.appendChild(row("required margin", device[REQUIRED], "for the wanted reliability", "total"));
    body.appendChild(row("spare", device[SPARE], "the least on the way to the gateway", "total"));
    var heads = make("tr", {}, [make("th", { scope: "col" }, ["line"]), make("th", { scope: "col", "class": "n" }, ["dB"]), make("th", { scope: "col" }, ["where, or why"])]);
    var caption = device[NAME] + " to " + far(device) + ", " + fixed(device[DISTANCE], 1) + " " + data.unit + ", " +
      (data.words[device[DIRECTION]] === "up" ? "weaker direction: up from the device" : "weaker direction: down to the device");
    return make("section", { "class": "scroll", tabindex: "0", "aria-label": "Budget of " + device[NAME] },
      [make("table", {}, [make("caption", {}, [caption]), make("thead", {}, [heads]), body])]);
  }
  function devicePart(device, open) {
    var parts = [make("h4", {}, [device[NAME]])];
    var words = device[SERVED] ? "Served" : "NOT served";
    words += device[GATEWAY] >= 0 ? ", gateway " + data.gateways[device[GATEWAY]][0] : "";
    words += device[VIA] >= 0 ? " by way of " + data.devices[device[VIA]][NAME] : "";
    words += device[HOPS] > 0 ? ", " + device[HOPS] + (device[HOPS] > 1 ? " hops" : " hop") : "";
    words += device[RELIABILITY] !== null ? ", reliability " + share(device[RELIABILITY]) : "";
    parts.push(make("p", device[SERVED] ? {} : { "class": "bad" }, [words + ". " + data.words[device[REASON]]]));
    if (device.length > LINES) { parts.push(budget(device)); }
    return parts;
  }
  function closeDetail() {
    detail.hidden = true;
    detail.parentNode.classList.remove("open");
    picked = -1;
    markRoom();
  }
  function openDetail(title, parts, focus) {
    var heading = make("h3", { id: "detail-h", tabindex: "-1" }, [title]);
    detail.textContent = "";
    detail.appendChild(heading);
    parts.forEach(function (part) { detail.appendChild(part); });
    detail.appendChild(button("Close", function () { closeDetail(); storeyPicker.focus(); }));
    detail.setAttribute("role", "region");
    detail.setAttribute("aria-labelledby", "detail-h");
    detail.hidden = false;
    detail.parentNode.classList.add("open");
    trimStops(detail);
    if (focus) {
      heading.focus({ preventScroll: true });
      (window.innerWidth < 1120 ? heading : document.getElementById("plans")).scrollIntoView({ block: "start" });
    }
  }
  function pick(index, focus) {
    var room = data.rooms[index], parts = [];
    picked = index;
    show(room[1]);
    parts.push(make("p", { "class": room[3] || room[2] < 0 ? "verdict" : "verdict bad" }, ["Storey " + data.storeys[room[1]] + ": " + verdict(room) + "."]));
    data.devices.forEach(function (device, i) {
      if (device[ROOM] === index) { parts = parts.concat(devicePart(device, i === room[2])); }
    });
    openDetail("Room " + room[0], parts, focus);
    if (shapeOf[index]) { rove(shapes[room[1]], shapeOf[index]); bring(current(), shapeOf[index]); }
    say("Room " + room[0] + ": " + verdict(room));
  }
  function pickByName(name) {
    var index = roomIndex[name.toLowerCase()];
    if (index !== undefined) { pick(index, true); }
  }
  function pickGateway(index) {
    var gateway = data.gateways[index], list = make("ul", { "class": "rooms" });
    data.rooms.forEach(function (room, i) {
      if (room[2] >= 0 && room[3] && data.devices[room[2]][GATEWAY] === index) {
        list.appendChild(make("li", {}, [button(room[0], function () { pick(i, true); })]));
      }
    });
    picked = -1;
    show(gateway[1]);
    openDetail("Gateway " + gateway[0], [make("p", {}, ["On storey " + data.storeys[gateway[1]] + ". Its row in the gateway table says where to hang it. Rooms on it:"]), list], true);
  }

  /* ---- finder ---- */

  var finder = make("input", { id: "finder", type: "search", autocomplete: "off", spellcheck: "false" });
  var found = make("ul", { "class": "found" });
  var status = make("p", { "class": "status", role: "status" });
  var storeyPicker = make("select", { id: "storey-picker" });

  function say(text) { status.textContent = text; }
  function matches(text) {
    var wanted = text.trim().toLowerCase(), exact = roomIndex[wanted], starts = [], holds = [];
    if (wanted === "") { return []; }
    data.rooms.forEach(function (room, i) {
      var place = room[0].toLowerCase().indexOf(wanted);
      if (i !== exact && place >= 0) { (place === 0 ? starts : holds).push(i); }
    });
    return (exact === undefined ? [] : [exact]).concat(starts, holds);
  }
  function gatewaysCalled(text) {
    var wanted = text.trim().toLowerCase(), list = [];
    data.gateways.forEach(function (gateway, i) { if (gateway[0].toLowerCase() === wanted) { list.push(i); } });
    return list;
  }
  function offer() {
    var list = matches(finder.value);
    found.textContent = "";
    list.slice(0, 8).forEach(function (index) {
      found.appendChild(make("li", {}, [button("Room " + data.rooms[index][0], function () { pick(index, true); })]));
    });
    gatewaysCalled(finder.value).forEach(function (index) {
      list.push(-1);
      found.appendChild(make("li", {}, [button("Gateway " + data.gateways[index][0], function () { pickGateway(index); })]));
    });
    say(finder.value.trim() === "" ? "" : list.length === 0 ? "Nothing is called that." : list.length + " found");
  }
  function find() {
    var list = matches(finder.value), gateways = gatewaysCalled(finder.value);
    if (list.length > 0) { pick(list[0], true); } else if (gateways.length > 0) { pickGateway(gateways[0]); } else { offer(); }
  }

  function buildTools() {
    var tools = document.getElementById("plan-tools");
    options(storeyPicker, data.storeys.map(function (name, i) { return [String(i), name]; }));
    storeyPicker.addEventListener("change", function () { show(Number(storeyPicker.value)); say("Storey " + data.storeys[shown]); });
    finder.addEventListener("input", offer);
    finder.addEventListener("keydown", function (event) { if (event.key === "Enter") { event.preventDefault(); find(); } });
    tools.appendChild(label("Find a room or gateway", finder));
    tools.appendChild(button("Show", find, { "class": "go" }));
    tools.appendChild(label("Storey", storeyPicker));
    var moves = [["+", "Closer", function (v) { zoom(v, 1 / 1.5); }], ["\u2212", "Farther", function (v) { zoom(v, 1.5); }],
      ["\u2190", "Move left", function (v) { pan(v, -0.25, 0); }], ["\u2192", "Move right", function (v) { pan(v, 0.25, 0); }],
      ["\u2191", "Move up", function (v) { pan(v, 0, -0.25); }], ["\u2193", "Move down", function (v) { pan(v, 0, 0.25); }],
      ["All", "Whole plan", whole]];
    var group = make("div", { "class": "group", role: "group", "aria-label": "View of the plan" });
    moves.forEach(function (move) {
      group.appendChild(button(move[0], function () { if (current()) { move[2](current()); } }, { "aria-label": move[1], title: move[1] }));
    });
    tools.appendChild(group);
    tools.hidden = false;
    tools.parentNode.insertBefore(found, tools.nextSibling);
    tools.parentNode.insertBefore(status, found.nextSibling);
    tools.parentNode.insertBefore(make("p", { "class": "status" },
      ["Pick a room on the plan for its budget line by line. By keyboard: Tab to the plan, arrows go from room to room, Enter picks, + and - zoom, 0 shows all."]), status.nextSibling);
  }

  /* ---- tables ---- */

  function value(cell, numeric) {
    var text = cell.textContent;
    if (!numeric) { return text; }
    var number = parseFloat(text);
    return isNaN(number) ? -Infinity : number;
  }
  function sortBy(table, column, head) {
    var numeric = head.classList.contains("n"), body = table.tBodies[0];
    var down = head.getAttribute("aria-sort") === "ascending";
    var rows = Array.prototype.slice.call(body.rows).map(function (line, i) { return [value(line.cells[column], numeric), i, line]; });
    rows.sort(function (a, b) {
      var order = numeric ? (a[0] > b[0]) - (a[0] < b[0]) : a[0].localeCompare(b[0], "en", { numeric: true });
      return (down ? -order : order) || a[1] - b[1];
    });
    rows.forEach(function (line) { body.appendChild(line[2]); });
    Array.prototype.forEach.call(table.tHead.rows[0].cells, function (cell) { cell.removeAttribute("aria-sort"); });
    head.setAttribute("aria-sort", down ? "descending" : "ascending");
  }
  function sortable(table) {
    Array.prototype.forEach.call(table.tHead.rows[0].cells, function (head, column) {
      if (head.hasAttribute("data-plain") || head.textContent === "") { return; }
      var text = head.textContent;
      head.textContent = "";
      head.appendChild(button(text, function () { sortBy(table, column, head); }));
    });
  }
  function filterable(table, column, name) {
    var text = make("input", { id: table.id + "-words", type: "search", autocomplete: "off", spellcheck: "false" });
    var choice = make("select", { id: table.id + "-choice" });
    var count = make("p", { "class": "status", role: "status" });
    var words = [];
    Array.prototype.forEach.call(table.tBodies[0].rows, function (line) {
      var word = line.cells[column].textContent;
      if (words.indexOf(word) < 0) { words.push(word); }
    });
    options(choice, [["", "all"]].concat(words.map(function (word) { return [word, word]; })));
    function apply() {
      var wanted = text.value.trim().toLowerCase(), kept = 0, rows = table.tBodies[0].rows;
      Array.prototype.forEach.call(rows, function (line) {
        var keep = (choice.value === "" || line.cells[column].textContent === choice.value) &&
          (wanted === "" || Array.prototype.some.call(line.cells, function (cell) { return cell.textContent.toLowerCase().indexOf(wanted) >= 0; }));
        line.classList.toggle("away", !keep);
        kept += keep ? 1 : 0;
      });
      count.textContent = kept + " of " + rows.length + " rows";
    }
    text.addEventListener("input", apply);
    choice.addEventListener("change", apply);
    var scroll = table.parentNode;
    scroll.parentNode.insertBefore(make("div", { "class": "tools" }, [label("Rows with the words", text), label(name, choice)]), scroll);
    scroll.parentNode.insertBefore(count, scroll);
    apply();
  }
  function rowButtons(selector, key, act) {
    Array.prototype.forEach.call(document.querySelectorAll(selector), function (line) {
      var head = line.cells[0], index = Number(line.getAttribute(key)), text = head.textContent;
      head.textContent = "";
      head.appendChild(button(text, function () { act(index, true); }));
    });
  }
  /* A table that does not scroll is no stop for the Tab key. */
  function trimStops(root) {
    Array.prototype.forEach.call(root.querySelectorAll(".scroll"), function (scroll) {
      if (scroll.scrollWidth > scroll.clientWidth) { scroll.setAttribute("tabindex", "0"); } else { scroll.removeAttribute("tabindex"); }
    });
  }

  /* ---- start ---- */

  buildTools();
  document.getElementById("sheets").classList.add("live");
  views.forEach(function (view, i) {
    if (!view) { return; }
    view.svg.setAttribute("role", "group");
    listen(view, storeys[i]);
    prepare(shapes[i], view);
  });
  show(0);
  rowButtons("tr[data-row]", "data-row", pick);
  rowButtons("tr[data-gateway]", "data-gateway", pickGateway);
  ["room-table", "gateway-table", "mounting-table", "unserved-table", "settings-table", "assumed-table", "material-table", "reasons-table"].forEach(function (id) {
    if (document.getElementById(id)) { sortable(document.getElementById(id)); }
  });
  filterable(document.getElementById("room-table"), 2, "Gateway");
  filterable(document.getElementById("gateway-table"), 1, "Storey");
  trimStops(document);
  window.addEventListener("resize", function () { trimStops(document); });
  /* on paper every plan is whole */
  window.addEventListener("beforeprint", function () { views.forEach(function (view) { if (view) { view.svg.setAttribute("viewBox", view.all.join(" ")); } }); });
  window.addEventListener("afterprint", function () { views.forEach(function (view) { if (view) { draw(view); } }); });
})();
