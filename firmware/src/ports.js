export {};
//# sourceMappingURL=ports.js.map