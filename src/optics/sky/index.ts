// Apart from the folder's other names: the ephemeris is large, and few need it.
export { skyLights, targetAltitudeDeg, type Site, type SkyLights } from '../ephemeris.js';
export { lightsWithoutSite, type DistantLights } from '../lights-without-site.js';
