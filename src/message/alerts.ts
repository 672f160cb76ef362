import { formatLocal } from '../quantity/local-time.ts';
import type { Alert } from '../weather/alert.ts';
import { section, type Section, type Told } from './body.ts';

/** Official warnings in the issuers' own words; ours says nothing of what they would have people do. */
export function alertSection(told: Told): Section | null {
  const { facts, reader } = told;
  const items = facts.alerts.map((alert) => alertWords(alert, reader.timeZone));
  return section('Official warnings in force', [{ kind: 'list', items }]);
}

/** `Freeze Warning, National Weather Service …, from … to …: “…”`, in the zone named. */
export function alertWords(alert: Alert, timeZone: string): string {
  const { title, issuer, onsetAt, endsAt, headline } = alert;
  const from = onsetAt === null ? '' : ` from ${formatLocal(onsetAt, timeZone)}`;
  const until = endsAt === null ? '' : ` until ${formatLocal(endsAt, timeZone)}`;
  const quoted = headline === null ? '' : `: “${headline}”`;
  return `${title}, issued by ${issuer}, in force${from}${until}${quoted}`;
}
