import type { UnitFacts } from './message.ts';

/** Control characters, line and paragraph separators, lone surrogates, and marks that reorder what is read. */
const UNPRINTABLE = /[\p{Cc}\p{Zl}\p{Zp}\p{Cs}\u200B\u200E\u200F\u202A-\u202E\u2066-\u2069\uFEFF]+/gu;

/** One printable line: what a user typed can neither break a header nor turn the text round. */
export function oneLine(text: string): string {
  return text.replace(UNPRINTABLE, ' ').replace(/\s+/gu, ' ').trim();
}

/** At most `length` characters, the cut marked by an ellipsis. */
export function shortened(text: string, length: number): string {
  const characters = Array.from(text);
  return characters.length <= length
    ? text
    : `${characters
        .slice(0, length - 1)
        .join('')
        .trimEnd()}…`;
}

/** Titles and issuers of official warnings are shorter, headlines of twice as much. */
const ALERT_LENGTH = 120;

/** The same facts with every free text made one printable line. */
export function plainFacts(facts: UnitFacts): UnitFacts {
  return {
    ...facts,
    unit: { ...facts.unit, id: oneLine(facts.unit.id), label: labelOr(facts.unit.label, facts.unit.id) },
    place: { ...facts.place, label: labelOr(facts.place.label, facts.place.id) },
    firstPart: facts.firstPart === null ? null : oneLine(facts.firstPart),
    holdOutPart: facts.holdOutPart === null ? null : oneLine(facts.holdOutPart),
    powerCut:
      facts.powerCut === null
        ? null
        : { ...facts.powerCut, part: facts.powerCut.part === null ? null : oneLine(facts.powerCut.part) },
    pockets: facts.pockets.map((pocket) => ({ ...pocket, label: oneLine(pocket.label) })),
    waterState: oneLine(facts.waterState),
    problem: facts.problem === null ? null : oneLine(facts.problem),
    assumptions: facts.assumptions.map(oneLine),
    attributions: facts.attributions.map(oneLine),
    forecast: facts.forecast === null ? null : { ...facts.forecast, source: oneLine(facts.forecast.source) },
    ...(facts.unreached === undefined
      ? {}
      : {
          unreached: facts.unreached.map((one) => ({
            ...one,
            name: oneLine(one.name),
            error: one.error === null ? null : shortened(oneLine(one.error), ALERT_LENGTH),
          })),
        }),
    ...(facts.owners === undefined ? {} : { owners: facts.owners.map(oneLine) }),
    alerts: facts.alerts.map((alert) => ({
      ...alert,
      title: shortened(oneLine(alert.title), ALERT_LENGTH),
      issuer: shortened(oneLine(alert.issuer), ALERT_LENGTH),
      headline: alert.headline === null ? null : shortened(oneLine(alert.headline), 2 * ALERT_LENGTH),
    })),
  };
}

function labelOr(label: string, id: string): string {
  return oneLine(label) || oneLine(id);
}
