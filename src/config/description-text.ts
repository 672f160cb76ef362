/** The description of a config as plain text, at most 80 columns wide, for a terminal. */
import { formatDuration, formatNumber } from '../quantity/quantity.ts';
import type { Display } from './config.ts';
import type { ConfigDescription, Setting } from './describe.ts';
import { hanging, named } from './description-lines.ts';
import { deliveryText, personLines, placeLines } from './description-people.ts';
import { unitLines } from './description-unit.ts';

/** In the reader's units. Ends with a line end. */
export function formatDescription(description: ConfigDescription, display: Display): string {
  const { places, units, people, policy } = description;
  const blocks = [
    generalLines(description),
    ...places.map((place) => placeLines(place, display)),
    ...units.map((unit) => unitLines(unit, display)),
    ...people.map((person) => personLines(person, description.delivery)),
    ['Policy', ...policy.map((setting) => `  ${settingText(setting)}`)],
  ];
  return `${blocks.map((lines) => lines.join('\n')).join('\n\n')}\n`;
}

function generalLines(description: ConfigDescription): readonly string[] {
  const { errorModel, sources } = description;
  const error =
    errorModel.kind === 'none'
      ? 'none: the forecast is taken as it is'
      : `${formatNumber(errorModel.atStartK)} K, and ${formatNumber(errorModel.perDayK)} K more each day, ${errorModel.members} members`;
  return [
    ...hanging(`Config ${description.file}`, 2, 0),
    ...named('rounds', `${description.schedule} (cron, UTC)`),
    ...named('store', description.store),
    ...named('horizon', formatDuration(description.horizonHours * 3600)),
    ...sources.flatMap((source) => named(`source ${source.id}`, sourceText(source))),
    ...named('error', error),
    ...named('compared', description.compare ? 'with the next usable source' : 'no'),
    ...named('learning', description.learn ? 'from readings of the place' : 'no'),
    ...named('readings', readingsText(description.readings)),
    ...named('delivery', deliveryText(description.delivery)),
    ...(description.web === null ? [] : named('pages', pagesText(description.web))),
    ...(description.heartbeatSeconds === null
      ? []
      : named('heartbeat', `every ${formatDuration(description.heartbeatSeconds)}`)),
  ];
}

function sourceText(source: ConfigDescription['sources'][number]): string {
  const age =
    source.staleAfterHours === null ? '' : `, stale after ${formatDuration(source.staleAfterHours * 3600)}`;
  if (source.kind === 'file') return `file ${source.path}${age}`;
  const night =
    source.nightBiasK === 0 ? '' : `, ${formatNumber(source.nightBiasK)} K off on clear calm nights`;
  const address = `${source.kind} at ${source.baseUrl}${age}${night}`;
  if (source.kind !== 'open-meteo') return address;
  const key = source.apiKeyEnv === null ? '' : `, key from ${source.apiKeyEnv} if set`;
  const { ensembles, ensembleUrl, callsPerDay } = source;
  const pooled = ensembles.length === 0 ? '' : `, with ${ensembles.join(' and ')} at ${ensembleUrl}`;
  const spent = callsPerDay === null ? '' : `, ${callsPerDay} weighted calls a day at most`;
  return `${address}${key}${pooled}${spent}`;
}

function readingsText({ token, mqtt }: ConfigDescription['readings']): string {
  const ways = [
    'the command `readings`',
    token === null ? null : 'POST /readings with its token',
    mqtt === null ? null : `${mqtt.subscriptions.length} over MQTT from ${mqtt.url}`,
  ];
  return ways.filter((way) => way !== null).join('; ');
}

function pagesText({ listen, publicUrl, links }: NonNullable<ConfigDescription['web']>): string {
  switch (links) {
    case 'none':
      return `at ${listen}; messages offer no links: readers do not reach that, and web.publicUrl does not say what they reach`;
    case 'this-machine':
      return `at ${listen}; links in messages begin with ${publicUrl} and work on this machine only`;
    case 'readers':
      return `at ${listen}; links in messages begin with ${publicUrl}`;
  }
}

function settingText({ key, value, unit, from }: Setting): string {
  const text = typeof value === 'number' ? formatNumber(value) : String(value);
  return `${key.padEnd(28)}${`${text} ${unit}`.padEnd(14)}${from === 'default' ? '(default)' : ''}`.trimEnd();
}
