const buildServerNames = ['CI', 'CONTINUOUS_INTEGRATION', 'BUILD_NUMBER', 'RUN_ID']

/**
 * A person sits at a terminal, whatever a build server's environment says: draw while running, and in colour.
 * Must run before Ink and its colour library are loaded, as they read the environment once.
 */
export function forgetBuildServer(env: NodeJS.ProcessEnv) {
  for (const name of buildServerNames) delete env[name]
}

/** Settings that must stand before Ink and its colour library are loaded, as they read the environment once. */
export function prepareEnvironment(env: NodeJS.ProcessEnv) {
  env.NODE_ENV = 'production' // the development build is slow and keeps every frame
  forgetBuildServer(env)
}
