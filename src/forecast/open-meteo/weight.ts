/** Members with the control, where they are known; any other is taken to have as many as the largest common one. */
const MEMBERS: Readonly<Record<string, number>> = {
  ncep_gefs025: 31,
  ncep_gefs05: 31,
  ncep_gefs_seamless: 31,
  ncep_aigefs025: 31,
  ecmwf_ifs025_ensemble: 51,
  ecmwf_aifs025_ensemble: 51,
  dwd_icon_global_eps: 40,
  dwd_icon_eu_eps: 40,
  dwd_icon_d2_eps: 20,
  dwd_icon_seamless_eps: 40,
  cmc_gem_geps: 21,
  bom_access_global_ensemble: 18,
  ukmo_global_ensemble_20km: 18,
  ukmo_uk_ensemble_2km: 3,
  meteoswiss_icon_ch1_ensemble: 11,
  meteoswiss_icon_ch2_ensemble: 21,
};
const MOST_MEMBERS = 51;

/** What one place of a request counts for, by the service's own rule (its server's source; pricing page, 2026). */
export function callWeight(series: number, days: number): number {
  return Math.max(1, series / 10, ((series / 10) * days) / 14);
}

export function ensembleWeight(model: string, days: number): number {
  return callWeight(MEMBERS[model] ?? MOST_MEMBERS, days);
}
