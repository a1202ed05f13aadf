// The jaw from above with a row of fields an implant. Typed text is never redrawn from a rerun of the page: the rows
// live here, and a field is told to the page when it is left, a dot when it is let go.

const NS = 'http://www.w3.org/2000/svg';
const DRAWN_MM = 50; // how far the strip is shown; farther only where an implant stands there
const RIDGE_MM = 3.6; // half the breadth of the ridge as drawn
const RULER_MM = [4.2, 7]; // from the line of the crest, facially
const NUMERAL_MM = 9;
const AROUND_MM = 11;
const DOT_PX = 15;
const WIDEST_PX = 560;
const STEP_MM = 0.5; // of the arrow keys, of dragging, and of the points of the curve
const MOST_LEAN = 25; // an arrow does not grow beyond this

export default function (component) {
  const root = component.parentElement.querySelector('.plan');
  root.plan ??= new Plan(root, component.data);
  root.plan.tell = (rows) => component.setStateValue('rows', rows);
  root.plan.show(component.data);
}

class Plan {
  constructor(root, data) {
    this.data = data;
    this.rows = structuredClone(data.rows);
    this.chosen = -1;
    this.picture = root.querySelector('.picture');
    this.svg = root.querySelector('svg');
    this.list = root.querySelector('.rows');
    this.style = root.style;
    this.lines = this.rows.map((row, i) => this.makeLine(row, i));
    this.list.replaceChildren(this.makeHeading(), ...this.lines.map((line) => line.box));
    this.rows.forEach((_, i) => this.say(i));
    new ResizeObserver(() => this.draw()).observe(this.picture);
  }

  // What a rerun may change: the curve, the colours, names of teeth. Never a field.
  show(data) {
    this.data = data;
    for (const [name, colour] of Object.entries(data.colours)) this.style.setProperty(`--${name}`, colour);
    this.lines.forEach((line, i) => {
      for (const option of line.tooth.options) option.text = data.teeth[option.value].name;
      line.tooth.value = this.rows[i].tooth;
    });
    this.draw();
  }

  report() {
    this.tell(structuredClone(this.rows));
  }

  // Rows

  makeHeading() {
    const heading = make('div', { class: 'line heading', 'aria-hidden': 'true' });
    heading.append(make('span', {}, 'Tooth'));
    for (const name of this.data.first) heading.append(make('span', {}, this.data.fields[name].label));
    return heading;
  }

  makeLine(row, i) {
    const line = { fields: {} };
    line.box = make('div', { class: 'site', role: 'group', 'aria-label': `Site ${i + 1}` });
    line.box.addEventListener('focusin', () => this.choose(i));
    line.box.addEventListener('pointerdown', () => this.choose(i));
    const first = make('div', { class: 'line' });
    line.tooth = this.makeTooth(row, i);
    first.append(line.tooth, ...this.data.first.map((name) => this.makeField(line, row, i, name, false)));
    const opened = make('div', { class: 'opened', id: `more-${i}`, hidden: '' });
    opened.append(...this.data.more.map((name) => this.makeField(line, row, i, name, true)), make('p', {}, this.data.note));
    const more = make('button', { type: 'button', 'aria-expanded': 'false', 'aria-controls': `more-${i}` }, 'More');
    more.setAttribute('aria-label', `More of site ${i + 1}`);
    more.addEventListener('click', () => {
      opened.hidden = !opened.hidden;
      more.textContent = opened.hidden ? 'More' : 'Less';
      more.setAttribute('aria-expanded', String(!opened.hidden));
      this.say(i);
    });
    line.summary = make('span', { class: 'summary' });
    line.opened = opened;
    line.fault = make('p', { class: 'fault', role: 'alert' });
    if (this.data.more.length) first.append(more, line.summary);
    line.box.append(first, line.fault, opened);
    return line;
  }

  makeTooth(row, i) {
    const choice = make('select', { 'aria-label': `Site ${i + 1}: tooth` });
    for (const key of this.data.order) choice.append(make('option', { value: key }, this.data.teeth[key].name));
    choice.value = row.tooth;
    choice.addEventListener('change', () => {
      this.rows[i].tooth = choice.value;
      this.draw();
      this.report();
    });
    return choice;
  }

  makeField(line, row, i, name, named) {
    const { label, what } = this.data.fields[name];
    const field = make('input', {
      type: 'text', inputmode: name === 'position_mm' ? 'text' : 'decimal', autocomplete: 'off', 'aria-label': `Site ${i + 1}: ${what}`,
    });
    field.value = this.write(name, row[name]);
    field.addEventListener('change', () => this.take(i, name));
    field.addEventListener('keydown', (event) => {
      if (event.key === 'Enter') this.goOn(field);
    });
    line.fields[name] = field;
    const box = make('label', { class: 'field' });
    if (named) box.append(make('span', { class: 'label', 'aria-hidden': 'true' }, label));
    box.append(field);
    return box;
  }

  // Enter leaves a field for the next number, as Tab does for everything.
  goOn(field) {
    const seen = [...this.list.querySelectorAll('input')].filter((one) => one.offsetParent !== null);
    const next = seen[seen.indexOf(field) + 1];
    if (next) {
      next.focus();
      next.select();
    } else {
      field.blur();
    }
  }

  take(i, name) {
    const field = this.lines[i].fields[name];
    const number = name === 'position_mm' ? this.readPlace(i, field.value) : readNumber(field.value);
    field.setAttribute('aria-invalid', String(Number.isNaN(number)));
    if (Number.isNaN(number)) {
      this.say(i);
      return;
    }
    this.put(i, name, number);
    this.report();
  }

  // A number of a row, in its field and in the picture.
  put(i, name, number) {
    this.rows[i][name] = number;
    if (name === 'position_mm') this.rows[i].x_mm = this.rows[i].y_mm = null;
    this.lines[i].fields[name].value = this.write(name, number);
    this.say(i);
    this.draw();
  }

  write(name, number) {
    if (number === null || number === undefined) return '';
    if (name === 'position_mm') return `${Math.abs(number).toFixed(digits(number, 1))}${number === 0 ? '' : number < 0 ? ' left' : ' right'}`;
    return number.toFixed(digits(number, this.data.fields[name].decimals)).replace('-', '\u2212');
  }

  // "20", "20 left", "-20": a bare number lies on the side of its tooth.
  readPlace(i, text) {
    const found = /^(.*?)\s*(left|right|l|r)?$/i.exec(text.trim());
    const number = readNumber(found[1]);
    if (number === null || Number.isNaN(number)) return number;
    if (found[2]) return Math.abs(number) * (found[2][0].toLowerCase() === 'l' ? -1 : 1);
    return /^[+\-\u2212]/.test(found[1].trim()) ? number : number * this.side(this.rows[i].tooth);
  }

  // What a closed row does not show, and what could not be read.
  say(i) {
    const row = this.rows[i], line = this.lines[i], said = [];
    const leans = [[row.angle_md_deg, 'distal', 'mesial'], [row.angle_fl_deg, 'facial', 'lingual']]
      .filter(([angle]) => angle !== null && angle !== undefined)
      .map(([angle, plus, minus]) => `${fine(Math.abs(angle))}° ${angle < 0 ? minus : plus}`);
    if (leans.length) said.push(`lean ${leans.join(', ')}`);
    line.summary.textContent = line.opened.hidden ? said.join('') : '';
    const wrong = Object.entries(line.fields).find(([, field]) => field.getAttribute('aria-invalid') === 'true');
    line.fault.textContent = wrong ? `${this.data.fields[wrong[0]].label}: “${wrong[1].value}” is not a number, such as ${this.data.fields[wrong[0]].example}. It is not counted.` : '';
  }

  choose(i) {
    if (this.chosen === i) return;
    this.chosen = i;
    this.lines.forEach((line, n) => line.box.classList.toggle('chosen', n === i));
    this.draw();
  }

  // Where an implant stands. x from the midline, the patient's right positive; y from the front of the crest backwards.

  side(tooth) {
    return this.data.left.includes(tooth[0]) ? -1 : 1;
  }

  atAlong(s) {
    const points = this.data.curve, last = points.length - 1, far = Math.min(Math.abs(s) / STEP_MM, last);
    const n = Math.min(Math.floor(far), last - 1), part = far - n, [a, b] = [points[n], points[n + 1]];
    const mix = (k) => a[k] + (b[k] - a[k]) * part;
    return { s, x: (s < 0 ? -1 : 1) * mix(0), y: mix(1), heading: (mix(2) * Math.PI) / 180 };
  }

  atPoint(x, y, side) {
    const points = this.data.curve, away = (p) => Math.hypot(p[0] - x * side, p[1] - y);
    let nearest = 0;
    points.forEach((p, n) => { if (away(p) < away(points[nearest])) nearest = n; });
    return { ...this.atAlong(side * nearest * STEP_MM), side };
  }

  find(row) {
    const side = this.side(row.tooth);
    if (row.x_mm !== null && row.y_mm !== null) {
      return { ...this.atPoint(row.x_mm, row.y_mm, side), x: row.x_mm, y: row.y_mm, side, assumed: false };
    }
    const assumed = row.position_mm === null, at = assumed ? this.data.teeth[row.tooth].usual : row.position_mm;
    return at === null ? null : { ...this.atAlong(at), side, assumed };
  }

  // The picture. Front below in the lower jaw, above in the upper; the patient's right on the left.

  scale() {
    const width = Math.max(280, Math.min(WIDEST_PX, this.picture.clientWidth || WIDEST_PX));
    const reach = this.places.reduce((far, place) => Math.max(far, place ? Math.abs(place.s) + 2 : 0), DRAWN_MM);
    this.reach = Math.min(60, Math.ceil(reach));
    const end = this.atAlong(this.reach);
    this.k = width / (2 * (end.x + AROUND_MM));
    this.width = width;
    this.end = end.y;
    this.height = Math.round((end.y + AROUND_MM + 3) * this.k + 44);
    this.top = this.data.front_below ? 26 : AROUND_MM * this.k + 30;
  }

  toScreen(x, y) {
    return [this.width / 2 - x * this.k, this.top + (this.data.front_below ? this.end - y : y) * this.k];
  }

  // A point of the crest moved facially by so many millimetres.
  beside(place, out) {
    const side = place.s < 0 ? -1 : 1;
    return this.toScreen(place.x + side * Math.sin(place.heading) * out, place.y - Math.cos(place.heading) * out);
  }

  band(from, to) {
    const outer = [], inner = [];
    for (let s = -this.reach; s <= this.reach; s += STEP_MM) {
      outer.push(this.beside(this.atAlong(s), from));
      inner.unshift(this.beside(this.atAlong(s), to));
    }
    return `M${outer.concat(inner).map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join('L')}Z`;
  }

  draw() {
    this.places = this.rows.map((row) => this.find(row));
    this.scale();
    const svg = this.svg;
    svg.setAttribute('viewBox', `0 0 ${this.width} ${this.height}`);
    svg.setAttribute('width', this.width);
    svg.setAttribute('height', this.height);
    svg.setAttribute('aria-label', this.data.alt);
    this.ground ??= svg.appendChild(shape('g', { 'aria-hidden': 'true' }));
    this.ground.replaceChildren(...this.drawRidge(), ...this.drawRuler(), ...this.drawChords());
    this.arrows ??= svg.appendChild(shape('g', { 'aria-hidden': 'true' }));
    this.arrows.replaceChildren(...this.rows.flatMap((row, i) => this.drawLean(row, this.places[i])));
    this.dots ??= this.rows.map((_, i) => svg.appendChild(this.makeDot(i)));
    this.dots.forEach((dot, i) => this.moveDot(dot, i));
  }

  drawRidge() {
    const up = this.data.front_below, [right] = this.beside(this.atAlong(this.reach), 0), far = up ? 15 : this.height - 8;
    const [middle, front] = this.beside(this.atAlong(0), NUMERAL_MM + (up ? 3.6 : 3));
    return [
      shape('path', { d: this.band(RIDGE_MM, -RIDGE_MM), class: 'ridge' }),
      words(Math.max(4, right - 6 * this.k), far, "patient's right", 'start'),
      words(this.width - Math.max(4, right - 6 * this.k), far, "patient's left", 'end'),
      words(middle, front + (up ? 2 : 0), 'front', 'middle'),
    ];
  }

  drawRuler() {
    const [from, to] = RULER_MM, marks = [shape('path', { d: this.band(to, from), class: 'ruler' })];
    for (let s = -Math.floor(this.reach); s <= this.reach; s += 1) {
      const place = this.atAlong(s), [a, b] = [this.beside(place, from), this.beside(place, from + (s % 5 ? 0.8 : 1.6))];
      marks.push(shape('line', { x1: a[0], y1: a[1], x2: b[0], y2: b[1], class: 'tick' }));
      if (s % 10 === 0 && Math.abs(s) < this.reach) {
        const [x, y] = this.beside(place, NUMERAL_MM);
        marks.push(words(x, y, String(Math.abs(s)), 'middle'));
      }
    }
    for (const place of this.places.filter((one) => one)) {
      const on = this.atAlong(place.s), [a, b, c] = [2, from, to].map((out) => this.beside(on, out));
      marks.push(shape('line', { x1: a[0], y1: a[1], x2: b[0], y2: b[1], class: 'cast' }));
      marks.push(shape('line', { x1: b[0], y1: b[1], x2: c[0], y2: c[1], class: 'cast on-rule' }));
    }
    return marks;
  }

  // Straight from implant to implant; a length only between places that were given.
  drawChords() {
    const placed = this.places.filter((one) => one).sort((a, b) => b.s - a.s), marks = [];
    placed.slice(1).forEach((b, n) => {
      const a = placed[n], [x1, y1] = this.toScreen(a.x, a.y), [x2, y2] = this.toScreen(b.x, b.y);
      const assumed = a.assumed || b.assumed;
      marks.push(shape('line', { x1, y1, x2, y2, class: assumed ? 'chord assumed' : 'chord' }));
      if (assumed || Math.hypot(x1 - x2, y1 - y2) < 2 * DOT_PX + 38) return;
      marks.push(shape('rect', { x: (x1 + x2) / 2 - 17, y: (y1 + y2) / 2 - 9, width: 34, height: 18, class: 'behind' }));
      marks.push(words((x1 + x2) / 2, (y1 + y2) / 2, Math.hypot(a.x - b.x, a.y - b.y).toFixed(1), 'middle'));
    });
    return marks;
  }

  // Where the top of an implant leans, with the number of degrees from the vertical.
  drawLean(row, place) {
    if (!place || (row.angle_md_deg === null && row.angle_fl_deg === null)) return [];
    const [md, fl] = [row.angle_md_deg, row.angle_fl_deg].map((angle) => Math.tan(((angle ?? 0) * Math.PI) / 180));
    const flat = Math.hypot(md, fl), lean = (Math.atan(flat) * 180) / Math.PI;
    if (flat === 0) return [];
    const [sin, cos, side] = [Math.sin(place.heading), Math.cos(place.heading), place.side];
    const along = [side * cos, sin], out = [side * sin, -cos];
    const dx = -(md * along[0] + fl * out[0]) / flat, dy = ((md * along[1] + fl * out[1]) / flat) * (this.data.front_below ? -1 : 1);
    const [x, y] = this.toScreen(place.x, place.y), far = DOT_PX + 10 + Math.min(lean, MOST_LEAN) * this.k * 0.6;
    const [tx, ty] = [x + dx * far, y + dy * far], tip = (turn) => {
      const angle = Math.atan2(dy, dx) + Math.PI + turn;
      return `${(tx + 8 * Math.cos(angle)).toFixed(1)} ${(ty + 8 * Math.sin(angle)).toFixed(1)}`;
    };
    // The number keeps to the side that looks away from the ruler.
    const outward = [-out[0], out[1] * (this.data.front_below ? -1 : 1)];
    const flip = -dy * outward[0] + dx * outward[1] > 0 ? -1 : 1, [nx, ny] = [-dy * flip, dx * flip];
    return [
      shape('line', { x1: x, y1: y, x2: tx - dx * 6, y2: ty - dy * 6, class: 'lean' }),
      shape('path', { d: `M${tx} ${ty}L${tip(0.4)}L${tip(-0.4)}Z`, class: 'tip' }),
      words(x + dx * (far - 5) + nx * 15, y + dy * (far - 5) + ny * 13, `${lean.toFixed(0)}°`, 'middle', 'halo'),
    ];
  }

  // Dots: dragged along the strip on the side of their tooth, or moved with the arrow keys.

  makeDot(i) {
    const dot = shape('g', { class: 'dot', tabindex: '0', role: 'slider', 'aria-valuemin': '0', 'aria-valuemax': String(DRAWN_MM) });
    dot.append(shape('circle', { r: DOT_PX + 5, class: 'ring' }), shape('circle', { r: DOT_PX, class: 'body' }), words(0, 0.5, '', 'middle'));
    let from = null;
    dot.addEventListener('focus', () => this.choose(i));
    dot.addEventListener('pointerdown', (event) => {
      event.preventDefault();
      dot.setPointerCapture(event.pointerId);
      dot.focus();
      from = [event.clientX, event.clientY];
    });
    dot.addEventListener('pointermove', (event) => {
      if (!dot.hasPointerCapture(event.pointerId)) return;
      if (from && Math.hypot(event.clientX - from[0], event.clientY - from[1]) < 3) return;
      from = null;
      this.drag(i, event);
    });
    dot.addEventListener('pointerup', () => {
      if (from === null) this.report();
      from = null;
    });
    dot.addEventListener('keydown', (event) => this.press(i, event));
    dot.addEventListener('blur', () => this.settle());
    return dot;
  }

  drag(i, event) {
    const box = this.svg.getBoundingClientRect(), side = this.side(this.rows[i].tooth);
    const x = (this.width / 2 - (event.clientX - box.left)) / this.k;
    const down = (event.clientY - box.top - this.top) / this.k;
    const { s } = this.atPoint(Math.max(0, x * side) * side, this.data.front_below ? this.end - down : down, side);
    this.put(i, 'position_mm', side * Math.min(DRAWN_MM, Math.abs(s)));
  }

  press(i, event) {
    const side = this.side(this.rows[i].tooth), back = this.data.front_below ? 1 : -1;
    const step = { ArrowLeft: 1, ArrowRight: -1, ArrowUp: side * back, ArrowDown: -side * back }[event.key];
    const place = this.places[i];
    if (!step || !place) return;
    event.preventDefault();
    const along = side * (Math.round(place.s / STEP_MM) * STEP_MM + step * STEP_MM);
    this.put(i, 'position_mm', side * Math.max(0, Math.min(DRAWN_MM, along)));
    clearTimeout(this.waiting);
    this.waiting = setTimeout(() => this.settle(), 500);
  }

  // Keys that were pressed one after the other are told once.
  settle() {
    if (!this.waiting) return;
    clearTimeout(this.waiting);
    this.waiting = null;
    this.report();
  }

  moveDot(dot, i) {
    const place = this.places[i], row = this.rows[i], name = this.data.teeth[row.tooth].name;
    dot.classList.toggle('gone', !place);
    if (!place) return;
    const [x, y] = this.toScreen(place.x, place.y);
    dot.setAttribute('transform', `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
    dot.classList.toggle('chosen', i === this.chosen);
    dot.classList.toggle('assumed', place.assumed);
    dot.querySelector('text').textContent = name;
    dot.setAttribute('aria-label', `Site ${i + 1}: place of ${name} along the strip`);
    dot.setAttribute('aria-valuenow', String(Math.abs(place.s)));
    dot.setAttribute('aria-valuetext', `${this.write('position_mm', place.s)}, mm from the midline${place.assumed ? ', assumed' : ''}`);
  }
}

function make(tag, attributes, text) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  if (text !== undefined) node.textContent = text;
  return node;
}

function shape(tag, attributes) {
  const node = document.createElementNS(NS, tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  return node;
}

function words(x, y, text, anchor, kind = '') {
  const node = shape('text', { x, y, 'text-anchor': anchor, dy: '.36em', class: kind });
  node.textContent = text;
  return node;
}

// A number as people write it: a comma or a point, a true minus or a hyphen. Empty is null, anything else not a number.
function readNumber(text) {
  const plain = text.trim().replace(',', '.').replace('\u2212', '-').replace(/\s*(mm|°)$/, '');
  if (plain === '') return null;
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : NaN;
}

// As many decimals as a number has, but no fewer than usual and no more than three.
function digits(number, least) {
  const has = String(Math.round(number * 1000) / 1000).split('.')[1]?.length ?? 0;
  return Math.max(least, has);
}

function fine(number) {
  return String(Math.round(number * 1000) / 1000);
}
