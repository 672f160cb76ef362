/** Winterizing by what is at hand: with or without bypass, pump kit and compressor, and how much goes in. */
import { jobOf } from './procedure.ts';
import type { RouteFacts, UnitFacts } from './message.ts';
import { isDrained } from './steps-drained.ts';
import { minutesWords } from './words.ts';

const LITRES_PER_GALLON = 3.785;

/** `2 gal (7.6 L)`: to half a litre, since nobody pours more exactly. */
export function gallonsText(gallons: number): string {
  const litres = Math.round(gallons * LITRES_PER_GALLON * 2) / 2;
  return `${gallons} gal (${litres} L)`;
}

const USUAL_TIME =
  'About 70 min with a pump kit, 150 the first time; 20 more without a kit, 20 more without a heater bypass.';
const USUAL_FLUID =
  'antifreeze for potable systems: about 2 gal (7.5 L) with the heater bypassed, 3 (11 L) with two baths, 5 (19 L) with washer, dishwasher and ice maker; filling the heater costs its 6 or 10 gal (23 or 38 L) on top';
const USUAL_KIT = 'the suction hose or pump kit, and the heater bypass';

export function antifreezeTime(facts: UnitFacts): string {
  const { route, advice } = facts;
  const isAdvised = advice !== null && jobOf(advice.action, advice.method) === 'antifreeze';
  if (route === undefined || !isAdvised) return USUAL_TIME;
  if (isUnknown(route))
    return isDrained(facts)
      ? `About ${minutesWords(advice.workMinutes)} for this unit, what is drained already not counted; 20 more without a kit, 20 more without a heater bypass.`
      : USUAL_TIME;
  return `About ${minutesWords(advice.workMinutes)} for this unit, ${drainingCounted(facts)}; the first time takes twice that.`;
}

function isUnknown({ heater, pump }: RouteFacts): boolean {
  return heater === 'unknown' || pump === 'unknown';
}

export function antifreezeNeeds({ route }: UnitFacts): readonly string[] {
  if (route === undefined) return [USUAL_FLUID, USUAL_KIT];
  const { heater, pump, antifreezeGallons, heaterGallons } = route;
  const amount = `antifreeze for potable systems: about ${gallonsText(antifreezeGallons)} for this unit`;
  const more = {
    none: '',
    bypass: ', with the heater bypassed',
    jumper: ', with the heater left out by a jumper',
    fill: `, ${gallonsText(heaterGallons)} of it to fill the heater`,
    unknown: `, with the heater bypassed; filling it costs its ${gallonsText(heaterGallons)} on top`,
  }[heater];
  const round = {
    none: [],
    bypass: ['the heater bypass'],
    jumper: [
      'a jumper: a short hose with a fitting at each end that joins the cold to the hot line at the heater',
    ],
    fill: [],
    unknown: ['the heater bypass'],
  }[heater];
  const drawn = {
    kit: 'the suction hose or pump kit',
    hand: 'a hand pump with a hose that fits the city inlet',
    unknown: 'the suction hose or pump kit',
  }[pump];
  return [`${amount}${more}`, ...round, drawn];
}

const NO_COLOUR =
  'If a gallon (4 L) is gone and no colour comes at the hot side, the bypass stands half way: stop.';

/** How the heater is kept out of it, or filled. */
export function heaterSteps({ route }: UnitFacts): readonly string[] {
  switch (route?.heater) {
    case 'none':
      return [];
    case 'jumper':
      return [
        'There is no heater bypass: with its pressure off and its tank empty, take the cold and the hot line off the heater and join the two with the jumper. It takes about 20 min; or fit a bypass for good.',
      ];
    case 'fill':
      return [
        `There is no heater bypass: the heater is filled, too, and takes its ${gallonsText(route.heaterGallons)} before any colour comes at the hot side. Its element stays off until it is full of water again.`,
      ];
    case 'bypass':
    case 'unknown':
    case undefined:
      return [`Turn the heater bypass all the way over. ${NO_COLOUR}`];
  }
}

/** How the fluid gets in. */
export function pumpSteps({ route }: UnitFacts): readonly string[] {
  if (route?.pump !== 'hand') return ['Put the suction hose into the jug and switch the pump on.'];
  return [
    'There is no pump kit: push the fluid in at the city inlet with the hand pump, slowly, with one outlet open at a time. Then open the strainer at the pump, pour a cup in and run the pump for a second or two, so that its head is filled as well.',
  ];
}

/** The city inlet lies before its check valve: what the unit's own pump draws does not pass it. */
export function inletStep({ route }: UnitFacts): string {
  if (route?.pump === 'hand')
    return 'City inlet: take the hand pump off and press the pin of its check valve until colour comes; it stays full of fluid.';
  return 'City inlet: let the pressure off, then press the pin of its check valve until colour comes. Fluid from the pump does not pass that valve by itself.';
}

export function airNeeds({ route }: UnitFacts): readonly string[] {
  const borrowed = route?.compressor === false ? ' (to borrow or rent: there is none at hand)' : '';
  const gallons = gallonsText(route?.airGallons ?? 1);
  return [
    `a compressor with clean air${borrowed}, a receiver of 3 gal (11 L) or more, a regulator and a plug for the city inlet`,
    `about ${gallons} of antifreeze for potable systems for traps, toilets and pump`,
  ];
}

/** Air goes through an empty tank as well; it only takes longer. */
export function airHeaterStep({ route }: UnitFacts): string {
  const cartridge = 'Take the cartridge out of the water filter.';
  switch (route?.heater) {
    case 'none':
      return `${cartridge} The softener stays bypassed.`;
    case 'jumper':
    case 'fill':
      return `${cartridge} Without a heater bypass the air goes through its empty tank: give the hot side twice the time. The softener stays bypassed.`;
    case 'bypass':
    case 'unknown':
    case undefined:
      return `${cartridge} Bypass the heater; the softener stays bypassed.`;
  }
}

/** What is drained already is in no minutes. */
function drainingCounted(facts: UnitFacts): string {
  return isDrained(facts)
    ? 'what is at hand counted in, and what is drained already not'
    : 'draining and what is at hand counted in';
}

export function airTime(facts: UnitFacts): string {
  const { route, advice } = facts;
  const isAdvised = advice !== null && jobOf(advice.action, advice.method) === 'air';
  if (route === undefined || !isAdvised) return 'About 45 min after draining, with traps and pump.';
  return `About ${minutesWords(advice.workMinutes)} for this unit, ${isDrained(facts) ? '' : 'draining, '}traps and pump counted in.`;
}
