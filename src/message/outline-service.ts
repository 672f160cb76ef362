/** What the end of the place's own water service asks for: fill by, dump by. */
import { tankFilledAnswer, quietAnswer } from './answer-sections.ts';
import { section, type Section, type Told } from './body.ts';
import { spellWords } from './cold.ts';
import { pointSection, sentences } from './points.ts';
import { cautions, figures, howTo, placeTimeRows } from './sections.ts';
import { closingSentences, lastsSentences, serviceSteps } from './service-sections.ts';

export function fillByOutline(told: Told): readonly (Section | null)[] {
  const { service = null } = told.facts;
  return [
    pointSection(told, {
      before: placeTimeRows(told),
      sure: sureWords(told),
      why: whyWords(told, 'The place shuts its water off.'),
      ifNot: sentences([
        'After that there is only what is on board.',
        ...(service === null ? [] : lastsSentences(service)),
      ]),
      else: 'Bring water in jugs, fill elsewhere, or leave before.',
    }),
    figures(told),
    cautions(told, 'fill'),
    inOrder(told),
    howTo(told, 'fill'),
    tankFilledAnswer(told),
  ];
}

export function dumpByOutline(told: Told): readonly (Section | null)[] {
  return [
    pointSection(told, {
      before: placeTimeRows(told),
      sure: sureWords(told),
      why: whyWords(told, 'The place shuts its dump station.'),
      ifNot: 'Full tanks cannot be emptied here after that; their valves and elbows freeze first.',
      else: 'Dump at another station on the way, or leave before.',
    }),
    figures(told),
    cautions(told, 'dump'),
    inOrder(told),
    howTo(told, 'dump'),
    quietAnswer(told),
  ];
}

function whyWords(told: Told, otherwise: string): string {
  const { service = null } = told.facts;
  const closing = service === null ? [] : closingSentences(service, told);
  return sentences([...(closing.length === 0 ? [otherwise] : closing), `${spellWords(told)}.`]);
}

/** What is dumped makes room for what is used from now on. */
function inOrder(told: Told): Section | null {
  const { service = null } = told.facts;
  if (service === null) return null;
  return section('In this order', [{ kind: 'steps', items: serviceSteps(service, told) }]);
}

function sureWords({ facts, notice }: Told): string {
  const { because = 'date', dumpBecause = because } = facts.service ?? {};
  return (notice.kind === 'dump-by' ? dumpBecause : because) === 'cold'
    ? 'As sure as the forecast: the cold is what shuts it, and it may come sooner.'
    : 'The date is the place’s own; cold may shut it sooner.';
}
