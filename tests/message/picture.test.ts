/** The drawing of the forecast against what the unit can take. */
import { Resvg } from '@resvg/resvg-js';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { MESSAGE_KINDS } from '../../src/decision/memory.ts';
import type { UnitFacts } from '../../src/message/message.ts';
import { PICTURE_MARK } from '../../src/message/message.ts';
import { DRAWING } from '../../src/message/palette.ts';
import { renderMessage } from '../../src/message/render.ts';
import { at, course, facts, notice, reader } from './facts.ts';

const FONTS = join(dirname(createRequire(import.meta.url).resolve('dejavu-fonts-ttf/package.json')), 'ttf');
const HOUR = 3600;

function drawn(change: Partial<UnitFacts> = {}, temperature: 'F' | 'C' = 'F'): string {
  const { picture } = renderMessage(
    notice('act'),
    facts({ course: course(), ...change }),
    reader({ temperature }),
  );
  return picture?.svg ?? '';
}

/** Where the text stands: `[x, y, text]`. */
function texts(svg: string): readonly (readonly [number, number, string])[] {
  return [...svg.matchAll(/<text x="([-\d.]+)" y="([-\d.]+)"[^>]*>([^<]*)<\/text>/g)].map(
    ([, x, y, text]) => [Number(x), Number(y), text ?? ''] as const,
  );
}

/** The x of the upright line before a text. */
function lineBefore(svg: string, text: string): number {
  const before = svg.slice(0, svg.indexOf(text));
  return Number([...before.matchAll(/<path d="M([\d.]+) [\d.]+V/g)].at(-1)?.[1]);
}

/** Points of the first path of a colour. */
function points(svg: string, colour: string): readonly (readonly [number, number])[] {
  const d = new RegExp(`<path d="([^"]+)" fill="none" stroke="${colour}"`).exec(svg)?.[1] ?? '';
  return [...d.matchAll(/([-\d.]+),([-\d.]+)/g)].map(([, x, y]) => [Number(x), Number(y)] as const);
}

/** Relative luminance and contrast of WCAG 2.2. */
function contrast(a: string, b: string): number {
  const luminance = (colour: string): number => {
    const [r, g, blue] = [1, 3, 5]
      .map((start) => parseInt(colour.slice(start, start + 2), 16) / 255)
      .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r! + 0.7152 * g! + 0.0722 * blue!;
  };
  const [light, dark] = [luminance(a), luminance(b)].toSorted((x, y) => y - x) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

describe('the picture', () => {
  it.each(MESSAGE_KINDS)(
    'goes along with every message that has a forecast, and its place is marked: %s',
    (kind) => {
      const message = renderMessage(notice(kind), facts({ course: course() }), reader());
      expect(message.picture?.alternative).toMatch(/^Temperatures forecast outside from .*[^.]\.$/);
      expect(message.html.split(PICTURE_MARK)).toHaveLength(2);
      const without = renderMessage(notice(kind), facts(), reader());
      expect(without).not.toHaveProperty('picture');
      expect(without.html).not.toContain(PICTURE_MARK);
      expect(without.text).toBe(message.text);
    },
  );

  it('is drawn by a real renderer, 600 px wide on a ground of its own', () => {
    for (const temperature of ['F', 'C'] as const) {
      const resvg = new Resvg(drawn({}, temperature), {
        font: {
          fontFiles: [join(FONTS, 'DejaVuSans.ttf')],
          loadSystemFonts: false,
          defaultFontFamily: 'DejaVu Sans',
        },
      });
      const image = resvg.render();
      expect([image.width, image.height]).toEqual([600, 340]);
      // No pixel is transparent, so that it is read on dark surroundings too.
      const alphas = image.pixels.filter((_, i) => i % 4 === 3);
      expect(alphas.every((alpha) => alpha === 255)).toBe(true);
    }
  });

  it('has no text smaller than 11 px, none outside of it, and nothing undefined', () => {
    const svg = drawn();
    const sizes = [...svg.matchAll(/font-size="([\d.]+)"/g)].map(([, size]) => Number(size));
    expect(sizes.length).toBeGreaterThan(0);
    expect(Math.min(...sizes)).toBeGreaterThanOrEqual(11);
    for (const [x, y] of texts(svg)) expect(x > 0 && x < 600 && y > 11 && y < 340, `${x} ${y}`).toBe(true);
    expect(svg).not.toMatch(/NaN|undefined|null|Infinity/);
  });

  it('uses its palette only, with a contrast of 4.5 for text on all its grounds', () => {
    const known = new Set<string>(Object.values(DRAWING));
    const used = drawn({ limit: { kind: 'cold', atC: -4, hours: 6 } }).match(/#[0-9a-f]{6}\b/g) ?? [];
    expect(used.filter((colour) => !known.has(colour))).toEqual([]);
    for (const text of [
      DRAWING.ink,
      DRAWING.muted,
      DRAWING.accent,
      DRAWING.loss,
      DRAWING.limit,
      DRAWING.zone,
    ])
      for (const ground of [DRAWING.paper, DRAWING.night])
        expect(contrast(text, ground), `${text} on ${ground}`).toBeGreaterThanOrEqual(4.5);
  });

  it('holds air, zone, freezing and the lost part where they belong', () => {
    const svg = drawn();
    const shown = course();
    const air = points(svg, DRAWING.accent);
    // The window of 72 h from 15:30, and the hour that has begun.
    expect(air).toHaveLength(73);
    const zone = points(svg, DRAWING.zone);
    const freezing = texts(svg).find(([, , text]) => text === 'freezing, 32 °F');
    const zero = (freezing?.[1] ?? 0) + 5;
    // One scale for both: 2 K are as many pixels everywhere, and 0 °C lies on the line named so.
    const perKelvin = (air[0]![1] - zone[0]![1]) / 2;
    air.forEach(([x, y], i) => {
      expect(y).toBeCloseTo(zero - perKelvin * shown.middleC[i]!, -0.5);
      expect(x).toBeCloseTo(56 + (i / 72) * 532, 0);
    });
    const lostAt = at('2026-11-27T09:20:00Z');
    const cx = Number(/<circle cx="([\d.]+)"/.exec(svg)?.[1]);
    expect(cx).toBeCloseTo(56 + ((lostAt - shown.times[0]!) / (72 * HOUR)) * 532, 0);
    expect(svg).toContain('outside shower valve lost, Fri 02:20');
  });

  it('draws no line through a name: not that of the start through the loss, nor that of the loss through itself', () => {
    const svg = drawn({
      firstPart: 'pressure regulator at the post',
      firstDamageAt: at('2026-11-27T06:00:00Z'),
    });
    const name = texts(svg).find(([, , text]) => text.startsWith('pressure regulator'))!;
    // It begins at the left edge, since it fits on neither side, and reaches over both lines.
    expect(name[0]).toBe(56);
    const [top, bottom] = [name[1] - 11, name[1] + 3];
    const lines = [...svg.matchAll(/<path d="(M[^"]+)" fill="none" stroke="[^"]+" stroke-width="1.6"/g)];
    expect(lines).toHaveLength(2);
    for (const [, d = ''] of lines)
      for (const [, from, to] of d.matchAll(/M[\d.]+ ([\d.]+)V([\d.]+)/g))
        expect(Number(to) <= top || Number(from) >= bottom, `${d} through ${top} to ${bottom}`).toBe(true);
  });

  it('has no zone that the air hides, in the drawing or its legend', () => {
    const { middleC } = course();
    const zone = { id: 'post', temperatureC: middleC.map((value) => value + 0.1) };
    const svg = drawn({ course: course({ zone }) });
    expect(svg).not.toContain(DRAWING.zone);
    expect(svg).not.toContain('hook-up');
    expect(
      drawn({ course: course({ zone: { ...zone, temperatureC: middleC.map((v) => v + 1) } }) }),
    ).toContain('hook-up');
  });

  it('reaches to the low that is named, or says that it comes later', () => {
    const hours = (svg: string): number => points(svg, DRAWING.accent).length;
    const low = (instant: string) => ({ lowestOutside: { temperatureC: -10.5, at: at(instant) } });
    const near = drawn(low('2026-11-28T20:00:00Z'));
    // Twelve hours behind it, but no more than there are.
    expect(hours(near)).toBe(84);
    expect(near).not.toContain('lowest later');
    const far = drawn(low('2026-12-04T12:00:00Z'));
    expect(hours(far)).toBe(73);
    expect(far).toContain('lowest later: 13 °F, Fri 4 Dec');
    const { picture } = renderMessage(
      notice('act'),
      facts({ course: course(), ...low('2026-12-04T12:00:00Z') }),
      reader(),
    );
    expect(picture?.alternative).toMatch(/; lowest later, 13 °F, .*4 Dec/);
  });

  it('marks the time to start by', () => {
    const startBy = at('2026-11-26T22:10:00Z');
    const expected = 56 + ((startBy - course().times[0]!) / (72 * HOUR)) * 532;
    expect(lineBefore(drawn(), 'start by Thu 15:10')).toBeCloseTo(expected, 0);
  });

  it('shows the limit of drained lines only where it counts', () => {
    expect(drawn({ limit: { kind: 'cold', atC: -4, hours: 6 } }, 'C')).toContain('limit, −4 °C for 6 h');
    expect(drawn({ limit: { kind: 'ice', kelvinHours: 3, inWind: false } })).not.toContain('limit,');
  });

  it('ticks days at midnight of the place, not of the reader', () => {
    const place = { id: 'far', label: 'Far', timeZone: 'Asia/Kolkata' };
    const svg = drawn({ place });
    const ticks = [...svg.matchAll(/<path d="M([\d.]+) 76V307"/g)].map(([, x]) => Number(x));
    // Midnight there is 18:30 UTC: 3.5 h after the first hour, and every 24 h from then on.
    const expected = [3.5, 27.5, 51.5].map((hour) => 56 + (hour / 72) * 532);
    expect(ticks).toHaveLength(3);
    ticks.forEach((x, i) => expect(x).toBeCloseTo(expected[i]!, 0));
  });

  it('has whole degrees of the reader’s unit', () => {
    const ticks = (svg: string): string[] => texts(svg).flatMap(([x, , text]) => (x === 50 ? [text] : []));
    for (const unit of ['F', 'C'] as const) {
      const shown = ticks(drawn({}, unit));
      expect(shown.length).toBeGreaterThan(3);
      expect(shown.slice(0, -1).filter((text) => !/^−?\d+°$/.test(text))).toEqual([]);
      expect(shown.at(-1)).toMatch(new RegExp(`^\\d+°${unit}$`));
    }
  });

  it('shades a polar night throughout, and a polar day nowhere', () => {
    const [from, to] = [course().times[0]!, course().times.at(-1)!];
    const night = new RegExp(`<rect x="56" y="76" width="532" height="226" fill="${DRAWING.night}"/>`);
    expect(drawn({ course: course({ nights: [{ start: from - HOUR, end: to + HOUR }] }) })).toMatch(night);
    expect(drawn({ course: course({ nights: [] }) })).not.toContain(`fill="${DRAWING.night}"`);
  });

  it('of sixteen days still names its days without running them together', () => {
    const first = course().times[0]!;
    const times = Array.from({ length: 384 }, (_, i) => first + i * HOUR);
    const flat = times.map(() => 1);
    const long = course({ times, middleC: flat, lowC: flat, highC: flat, zone: null });
    const { picture } = renderMessage(
      notice('heads-up', { action: 'nothing', startBy: null }),
      facts({ course: long, firstDamageAt: at('2026-12-05T10:00:00Z') }),
      reader(),
    );
    const days = texts(picture?.svg ?? '').filter(([, , text]) =>
      /^(Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d+$/.test(text),
    );
    expect(days.length).toBeGreaterThan(4);
    days.slice(1).forEach(([x], i) => expect(x - days[i]![0]).toBeGreaterThan(55));
    expect(Buffer.byteLength(picture?.svg ?? '')).toBeLessThan(30_000);
  });

  it('lets no name break out of it', () => {
    const svg = drawn({
      firstPart: '"><script>&',
      course: course({ zone: { id: '<b>"x', temperatureC: course().middleC } }),
    });
    expect(svg).not.toMatch(/<script|<b>/);
    expect(() => new Resvg(svg)).not.toThrow();
  });

  it('says nothing of hours that are unknown', () => {
    const middleC = course().middleC.map((value, i) => (i > 10 && i < 20 ? Number.NaN : value));
    const svg = drawn({ course: course({ middleC, zone: null }) });
    expect(svg).not.toContain('NaN');
    expect(points(svg, DRAWING.accent)).toHaveLength(73 - 9);
  });
});
