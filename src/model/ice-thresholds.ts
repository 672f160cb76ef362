import type { IceThresholds } from './unit.ts';

/**
 * Ice fractions at which a part is blocked and counts as solid: engineering estimates. Dendrites block a rigid bore
 * early (0.1 to 0.4); what gives way does so until it is nearly solid (0.8 to 1).
 */
export const ICE_THRESHOLDS: IceThresholds = { blocked: { rigid: 0.2, flexible: 0.9 }, solid: 0.95 };
