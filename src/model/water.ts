/** Constants of water and ice. */

/** Latent heat of fusion of water at 0 °C [J/kg]. CRC Handbook of Chemistry and Physics: 333.55 kJ/kg. */
export const LATENT_HEAT_J_PER_KG = 333_550;

/**
 * Specific heat capacity of liquid water between 0 and 20 °C [J/(kg·K)]. ASHRAE Handbook, Fundamentals (2021
 * SI), chapter 23 uses this round value; IAPWS-IF97 gives 4,219 at 0 °C and 4,185 at 20 °C.
 */
export const WATER_HEAT_CAPACITY_J_PER_KG_K = 4200;

/** Specific heat capacity of ice just below 0 °C [J/(kg·K)]. CRC Handbook: 2.11 J/(g·K) at 0 °C. */
export const ICE_HEAT_CAPACITY_J_PER_KG_K = 2110;
