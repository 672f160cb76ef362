/** Which heat flows matter, in words. */
import { capital, zoneName } from '../message/words.ts';
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
  underbellyOutside: 'the belly skin',
  underbellyUnderneath: 'the belly skin',
  underbellyBarn: 'the belly skin',
  underneathOutside: 'the skirting',
  underneathBarn: 'the skirting',
  underneathGround: 'the ground',
  barnOutside: 'the barn’s walls and roof',
  barnGround: 'the barn’s slab',
  floorOutside: 'the floor',
  insideUnderneath: 'the floor',
  floorBarn: 'the floor',
};

export function flows(view: ExplainView): string {
  const zones = Object.entries(view.answer.flows).flatMap(([zone, of]) => zoneFlows(zone, of, view));
  if (zones.length === 0) return '';
  const heading = 'Where the heat goes, on average over the six hours before each zone is coldest:';
  return `${heading}\n${items(zones)}`;
}

function zoneFlows(
  zone: string,
  { coldestAt, flows: list, ductLostW }: Flows,
  view: ExplainView,
): readonly string[] {
  const gains = list.filter((flow) => flow.watts >= LEAST_W).map(withPath);
  const losses = list.filter((flow) => flow.watts <= -LEAST_W).map(withPath);
  if (gains.length + losses.length === 0) return [];
  const gets = gains.length === 0 ? 'nothing warms it' : `it gets ${gains.join(', ')}`;
  const loses = losses.length === 0 ? 'it loses nothing' : `it loses ${losses.join(', ')}`;
  const lost =
    ductLostW === undefined
      ? []
      : [
          `${ductLostW} W more of the furnace’s heat go down its duct into the open air: no belly holds them.`,
        ];
  return [`${nounOf(zone)}, coldest ${near(coldestAt, view)}: ${gets}; ${loses}.`, ...lost];
}

/** "474 W through the floor" */
function withPath(flow: Flow): string {
  if (flow.path === 'furnace') return `${watts(flow)} from the furnace`;
  if (flow.path === 'electric') return `${watts(flow)} from electric heat`;
  return `${watts(flow)} through ${THROUGH[flow.path] ?? flow.path}`;
}

function watts({ watts: w }: Flow): string {
  return `${Math.abs(w)} W`;
}

function nounOf(zone: string): string {
  return zone === 'inside' || zone === 'underneath' ? capital(zoneName(zone)) : `The ${zoneName(zone)}`;
}
