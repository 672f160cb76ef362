import type { Advice, ChanceOfDamage, Method, OutsideAction } from '../decision/advice.ts';
import type { Memory, MessageKind } from '../decision/memory.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Route } from '../model/catalogue-work.ts';
import type { Measure } from '../model/measure.ts';
import type { Overload } from '../model/post-load.ts';
import type { TemperatureUnit } from '../quantity/temperature.ts';
import type { Alert } from '../weather/alert.ts';
import type { UnitFigures, UnitState } from './unit-state.ts';
import type { ExtraFacts } from './extra-facts.ts';

/** The words a reader is used to. */
export interface Words {
  readonly faucet: 'faucet' | 'tap';
  readonly trailer: 'trailer' | 'caravan';
  readonly gas: 'propane' | 'gas';
}

export interface Reader {
  readonly id: string;
  readonly name: string;
  readonly temperature: TemperatureUnit;
  readonly timeZone: string;
  readonly words: Words;
  /** Whether an answer can be given by a link; absent: by command only. */
  readonly linked?: boolean;
}

/** A stretch below 0 °C, as people are told of it. */
export interface SpellFacts {
  readonly zone: string;
  readonly start: EpochSeconds;
  readonly end: EpochSeconds;
  readonly degreeHours: number;
  readonly minimumC: number;
  readonly longestHoursAtOrBelowMinus4C: number;
}

/** A part that gravity leaves full. */
export interface PocketFacts {
  readonly id: string;
  /** Its trade name. */
  readonly label: string;
  readonly circuit: string;
}

/** What the list for dusk of one unit has to know beside its measures. */
export interface Dusk {
  /** What its water heater would run on; null: it has none with water in it. */
  readonly heaterOn: 'gas' | 'shore' | null;
  /** Whether its outside shower has valves of its own: `unknown` where nobody has said. Null: it has none. */
  readonly showerValves: boolean | 'unknown' | null;
}

/** What water that was left behind does to ready-to-use fluid. */
export interface Dilution {
  readonly fluidPercent: number;
  /** Litres of fluid per litre of water left, for the lowest temperature ahead; null: no amount is enough. */
  readonly litres: number | null;
}

/** What the work costs and what leaving it would. */
export interface MoneyFacts {
  readonly currency: string;
  /** What is advised; null: there is nothing to do. */
  readonly doing: number | null;
  /** What is still to be expected once that is done, and the parts that are most of it; absent: not known. */
  readonly after?: { readonly expected: number; readonly parts: readonly string[] };
  /** Loss to expect within the window if nothing is done, over all that the forecast may bring. */
  readonly leaving: number;
  /** Of it a floor flooded at the thaw; 0: no supply stands under pressure. */
  readonly flood: number;
  /** The repairs that come to most of it, the first first. */
  readonly parts: readonly {
    readonly label: string;
    /** That cold damages it. */
    readonly chance: number;
    readonly repair: number;
  }[];
}

/** How this unit is winterized, by what is at hand. */
export interface RouteFacts extends Route {
  /** Null: nobody has said. */
  readonly compressor: boolean | null;
  /** The way that would not be taken first, where its kit is at hand; absent: there is none. */
  readonly other?: { readonly method: Method; readonly minutes: number; readonly cost: number };
}

/** Everything a message about one unit can speak of. Null: unknown, and then said so. */
export interface UnitFacts extends ExtraFacts {
  readonly asOf: EpochSeconds;
  readonly unit: { readonly id: string; readonly label: string; readonly attended: boolean };
  readonly place: { readonly id: string; readonly label: string; readonly timeZone: string };
  readonly advice: Advice | null;
  readonly chances: ChanceOfDamage | null;
  readonly windowHours: number;
  /** How long before its time to start by work is first asked for. */
  readonly callAheadHours: number;
  readonly lowestOutside: { readonly temperatureC: number; readonly at: EpochSeconds } | null;
  /** Outside air, middle member, from now on. */
  readonly spells: readonly SpellFacts[];
  /** Trade name of the part that fails first if nothing is done. */
  readonly firstPart: string | null;
  readonly firstDamageAt: EpochSeconds | null;
  /** Trade name of what fails first although it is kept warm; null: nothing, or it cannot be. */
  readonly warmFirstPart: string | null;
  /** When it comes to damage in the coldest courses of the forecast, for which the time to start by is set; null: not at all. */
  readonly dueAt: EpochSeconds | null;
  readonly suspect: boolean;
  readonly alreadyDamaged: boolean;
  /** From the stop that leaves the least time; null: no stop within the window does harm. */
  readonly holdOutHours: number | null;
  /** Trade name of the part that is lost first then. */
  readonly holdOutPart: string | null;
  /** The same once the power at the post fails; null hours: that does no harm. Null: there is no post. */
  readonly powerCut: { readonly hours: number | null; readonly part: string | null } | null;
  /** Kept warm it would draw so much more than the post bears [W], which is refused; 0: it would not. */
  readonly overloadW: number;
  /** What the post cannot carry of what is on now: it counts as tripped; null: it bears it, or is not known. */
  readonly tripped: Overload | null;
  /** What would be on at once on a post whose breaker is not given [W]; absent or 0: it is given, or nothing draws. */
  readonly unknownLoadW?: number;
  readonly dusk: Dusk;
  /** What keeping it warm takes, in the order of `MEASURES`; empty: it cannot be. */
  readonly measures: readonly Measure[];
  /** What a drain has to look at because it stays full by itself. */
  readonly pockets: readonly PocketFacts[];
  /** What can be emptied while the inside stays in use, and holds water. */
  readonly outsideCircuits: readonly string[];
  /** That ice closes the way of the water to the taps, damage or not; null: no water is on its way, or it is not known. */
  readonly chanceOfNoWater: number | null;
  /** Trade name of the part in which it closes first; absent or null: none does, or it is not known. */
  readonly noWaterPart?: string | null;
  /** Until when what is on board and charged lasts; null: longer than the forecast, or not counted. */
  readonly heatLasts: {
    readonly gasUntil: EpochSeconds | null;
    readonly batteryUntil: EpochSeconds | null;
    /** From when on the cold cylinder cannot feed the furnace fully. */
    readonly gasShortFrom: EpochSeconds | null;
  };
  readonly hasHeat: boolean;
  /** Parts freeze although it is on or switched on, so that it holds out no time at all. */
  readonly heatFails: boolean;
  /** It is on, so that gas and battery are used. */
  readonly heatIsOn: boolean;
  readonly hasHose: boolean;
  readonly waterState: string;
  /** Circuits whose water was let out; absent: none. */
  readonly drained?: readonly string[];
  /** What somebody left open when they said what they did, and is to be asked; absent: nothing. */
  readonly asks?: 'how-winterized';
  /** Of the antifreeze that is in it, in full sentences. */
  readonly fluidCautions: readonly string[];
  /** Null: it stays above freezing, or the low is not known. */
  readonly dilution: Dilution | null;
  readonly problem: string | null;
  readonly lastKnown: Memory['lastKnown'];
  readonly assumptions: readonly string[];
  readonly attributions: readonly string[];
  /** What the answer rests on; null: there is no forecast. */
  readonly forecast: ForecastFacts | null;
  /** Official warnings of cold in force at the place. */
  readonly alerts: readonly Alert[];
  /** The place's water service, where it ends soon; absent or null: it does not, or is not known. */
  readonly service?: ServiceFacts | null;
  /** Null: there is no forecast; absent: not counted. */
  readonly money?: MoneyFacts | null;
  /** Absent: nothing is known of what is at hand. */
  readonly route?: RouteFacts;
  /** Who was to be told and was not; absent: everyone was, or it is not known yet. */
  readonly unreached?: readonly Unreached[];
  /** Names of the unit's own contacts; absent: not given. */
  readonly owners?: readonly string[];
}

/** What ends at the place, and how long the unit can do without. */
export interface ServiceFacts {
  readonly waterShutAt: EpochSeconds | null;
  readonly dumpShutAt: EpochSeconds | null;
  /** Whether a date or the cold shuts it. */
  readonly because: 'date' | 'cold';
  readonly onBoardLitres: number | null;
  readonly perDayLitres: number | null;
  /** When it is open again; absent or null: not announced, or not within the forecast. */
  readonly waterOpensAt?: EpochSeconds | null;
  readonly dumpOpensAt?: EpochSeconds | null;
  /** What closes the dump, where that differs; absent: as `because`. */
  readonly dumpBecause?: 'date' | 'cold';
  /** What the fresh tank holds when full; absent or null: not known. */
  readonly tankLitres?: number | null;
  /** Latest start; absent or null: nothing to be done, or no time left to plan. */
  readonly fillBy?: EpochSeconds | null;
  readonly dumpBy?: EpochSeconds | null;
  readonly fillMinutes?: number;
  /** The fresh tank counts as drained; absent: it does not. */
  readonly tankDrained?: boolean;
  readonly dumpMinutes?: number;
}

/** A person whom no channel reached in time. */
export interface Unreached {
  readonly person: string;
  readonly name: string;
  readonly kind: MessageKind;
  /** What the last channel said. */
  readonly error: string | null;
}

export interface ForecastFacts {
  readonly source: string;
  /** Null: the service does not say. */
  readonly issuedAt: EpochSeconds | null;
  readonly fetchedAt: EpochSeconds;
}

export interface MessageText {
  readonly subject: string;
  readonly text: string;
  readonly html: string;
}

/** A message as it is rendered for one reader: the text, and what goes along with it. */
export type Rendered = MessageText &
  Required<Pick<OutgoingMessage, 'short' | 'line' | 'answers'>> &
  Pick<OutgoingMessage, 'calendar' | 'picture'>;

/** An answer that a reader can give by a link of their own. */
export const ANSWERS = [
  'drained-well',
  'drained-quickly',
  'winterized-colour',
  'winterized-air-traps',
  'winterized-air',
  'winterized',
  'kept-warm',
  'on-my-way',
  'not-mine',
  'stop',
  'checked',
] as const;
export type AnswerCode = (typeof ANSWERS)[number];

/** Stands in text and HTML, with the code behind it, for the link of an answer: signed and dated at sending. */
export const ANSWER_SCHEME = 'drainby-answer:';

/** The work as a calendar is to hold it; RFC 5545 is written from it at sending. */
export interface CalendarEntry {
  /** The same in every message about one episode to one person. */
  readonly uid: string;
  /** Rises from message to message. */
  readonly sequence: number;
  readonly cancelled: boolean;
  readonly start: EpochSeconds;
  readonly end: EpochSeconds;
  readonly summary: string;
  readonly description: string;
  readonly location: string;
}

/** Stands in the HTML where the picture belongs; whoever sends the PNG along puts its image element there. */
export const PICTURE_MARK = '<!-- drainby-picture -->';

/** A drawing of what the text says as well; made a PNG at sending. */
export interface Picture {
  readonly svg: string;
  readonly alternative: string;
}

/** One unit in a list of many. */
export interface ListLine {
  readonly label: string;
  /** What to do and by when, without a full stop. */
  readonly what: string;
  readonly startBy: EpochSeconds | null;
  /** How sure, and why, in one sentence. */
  readonly because: string;
  /** `startBy` as the reader reads it; absent: there is none, or the version that wrote it kept none. */
  readonly by?: string;
  /** The place's label. */
  readonly place?: string;
  /** Which forecast it rests on and how old that is, as a sentence. */
  readonly data?: string;
  /** What the work takes, how the unit stands and whose it is, as a sentence. */
  readonly stands?: string;
  /** Names of those who were to be told and were not; absent: everyone was. */
  readonly unreached?: readonly string[];
}

export interface Addressee {
  readonly id: string;
  readonly name: string;
  readonly email: string | null;
  /** At a gateway that makes text messages of mails; null or absent: there is none. */
  readonly text?: string | null;
}

/** A rendered message on its way to one person over one channel. */
export interface OutgoingMessage {
  /** RFC 5322 Message-ID with its angle brackets; the same at every attempt. */
  readonly messageId: string;
  /** `state` is said to machines only, and to no person; `list`: many units of one reader; `watching`: the weekly line. */
  readonly kind: MessageKind | 'test' | 'state' | 'list' | 'watching';
  readonly unit: string;
  /** As the outside knows it: a partial drain is `drain` here, and `partial`. */
  readonly action: OutsideAction;
  readonly startBy: EpochSeconds | null;
  /** Why it was sent: the advice's reason code, or the kind of trouble. */
  readonly cause: string;
  readonly to: Addressee;
  readonly createdAt: EpochSeconds;
  readonly subject: string;
  readonly text: string;
  readonly html: string;
  /** What is absent below was not made by the version that wrote it. */
  readonly place?: string;
  /** Under which episode it was said; answers are bound to it. */
  readonly episode?: string;
  /** After this instant it would mislead. */
  readonly useBefore?: EpochSeconds;
  /** At most 160 characters of the GSM 7-bit alphabet; nothing that matters is lost. */
  readonly short?: string;
  readonly calendar?: CalendarEntry;
  readonly picture?: Picture;
  readonly answers?: readonly AnswerCode[];
  /** Only what lies outside is drained; what is inside stays in use. */
  readonly partial?: true;
  /** Circuits to be done where not all are. */
  readonly circuits?: readonly string[];
  /** What keeping it warm takes; nothing but a vented, thermostatted furnace (`furnace-on`) may be switched on by a machine. */
  readonly measures?: readonly Measure[];
  /** How it stands in a manager's list of many units. */
  readonly line?: ListLine;
  /** What it says in numbers, for machines. */
  readonly figures?: UnitFigures;
  /** What a message of kind `state` says. */
  readonly state?: UnitState;
}
