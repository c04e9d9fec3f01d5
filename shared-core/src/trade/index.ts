/* What planning and reports use: metals, Faraday, recipes from what a person asked, the night ahead. Never part of the controller. */
export * from './metals.js';
export * from './faraday.js';
export * from './planned-night.js';
export * from './recipe-defaults.js';
export * from './recipe-from-request.js';
