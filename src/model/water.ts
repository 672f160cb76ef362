/** Constants of water and ice. */

/** Latent heat of fusion of water at 0 °C [J/kg]. CRC Handbook of Chemistry and Physics: 333.55 kJ/kg. */
export const LATENT_HEAT_J_PER_KG = 333_550;

/**
 * Specific heat capacity of liquid water between 0 and 30 °C [J/(kg·K)]. ASHRAE Handbook, Fundamentals (2021
 * SI), chapter 23 uses this round value; IAPWS-IF97 gives 4,219 at 0 °C and 4,180 at 30 °C.
 */
export const WATER_HEAT_CAPACITY_J_PER_KG_K = 4200;

/** Density of liquid water between 0 and 20 °C [kg/m³]. IAPWS-IF97: 999.8 at 0 °C, 998.2 at 20 °C. */
export const WATER_DENSITY_KG_PER_M3 = 1000;

/** Specific heat capacity of ice just below 0 °C [J/(kg·K)]. CRC Handbook: 2.11 J/(g·K) at 0 °C. */
export const ICE_HEAT_CAPACITY_J_PER_KG_K = 2110;

/** Density of ice at 0 °C [kg/m³]. CRC Handbook: 0.9167 g/cm³. */
export const ICE_DENSITY_KG_PER_M3 = 916.7;

/** Thermal conductivity of ice between 0 and −10 °C [W/(m·K)]. CRC Handbook: 2.14 at 0 °C, 2.3 at −10 °C. */
export const ICE_CONDUCTIVITY_W_PER_M_K = 2.22;
