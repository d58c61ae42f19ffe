declare const __ENGINE_VERSION__: string;

/** Version of the engine that made a result; `source` where it was not built. */
export const engineVersion = typeof __ENGINE_VERSION__ === "string" ? __ENGINE_VERSION__ : "source";
