/** Which heat flows matter, in words. */
import { zoneName } from '../message/words.ts';
import { items, near, type ExplainView } from './explain-view.ts';

type Flows = ExplainView['answer']['flows'][string];
type Flow = Flows['flows'][number];

/** Less than this is not worth a word. */
const LEAST_W = 1;

/** What heat goes through, by the name of its path. */
const THROUGH: Readonly<Record<string, string>> = {
  insideOutside: 'walls, roof and draughts',
  insideBarn: 'walls, roof and draughts',
  insideUnderbelly: 'the floor',
  insideUnderneath: 'the floor',
  underbellyOutside: 'the belly skin',
  underbellyUnderneath: 'the belly skin',
  underbellyBarn: 'the belly skin',
  underneathOutside: 'the skirting',
  underneathBarn: 'the skirting',
  underneathGround: 'the ground',
  barnOutside: 'the barn’s walls and roof',
  barnGround: 'the barn’s slab',
  furnace: 'the furnace',
};

export function flows(view: ExplainView): string {
  const zones = Object.entries(view.answer.flows).flatMap(([zone, of]) => zoneFlows(zone, of, view));
  if (zones.length === 0) return '';
  return `Where the heat goes, on average over the six hours before each zone is coldest:\n${items(zones)}`;
}

function zoneFlows(zone: string, { coldestAt, flows: list }: Flows, view: ExplainView): readonly string[] {
  const gains = list.filter((flow) => flow.watts >= LEAST_W).map((flow) => `${through(flow)} ${watts(flow)}`);
  const losses = list.filter((flow) => flow.watts <= -LEAST_W).map((flow) => `${watts(flow)} through ${through(flow)}`);
  if (gains.length + losses.length === 0) return [];
  const lead = `${nounOf(zone)}, coldest ${near(coldestAt, view)}`;
  const gets = gains.length === 0 ? 'nothing warms it' : `it gets ${gains.join(', ')}`;
  const loses = losses.length === 0 ? 'loses nothing' : `loses ${losses.join(', ')}`;
  return [`${lead}: ${gets.replace('it gets ', 'it gets from ')}, and ${loses}.`];
}

function through({ path }: Flow): string {
  return THROUGH[path] ?? path;
}

function watts({ watts: w }: Flow): string {
  return `${Math.abs(w)} W`;
}

function nounOf(zone: string): string {
  return zone === 'inside' ? 'Inside' : `The ${zoneName(zone)}`;
}
