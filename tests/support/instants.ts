/** Epoch seconds of an ISO time. */
export function seconds(text: string): number {
  const ms = Date.parse(text);
  if (Number.isNaN(ms)) throw new Error(`${text} is no instant`);
  return ms / 1000;
}

export function iso(epochSeconds: number): string {
  return `${new Date(epochSeconds * 1000).toISOString().slice(0, 19)}Z`;
}
