/** Error of a number relative to the published one, 0 or more. */
export function relativeError(found: number, published: number): number {
  return Math.abs(found / published - 1);
}
